package lab_test

import (
	"context"
	"reflect"
	"sync"
	"testing"

	"example.com/switchleg/switchnet/lab"
)

// TestConcurrent uses one exercise of each task from several goroutines at once, as a
// program that marks a class does; with -race it shows what they share.
func TestConcurrent(t *testing.T) {
	t.Parallel()
	base := generated(t, lab.Recipe{})
	for _, task := range lab.Tasks() {
		x, err := task.Make(context.Background(), base, 6, lab.Band{})
		if err != nil {
			t.Fatal(err)
		}
		key := x.Key()
		want := x.Mark(key)
		var wg sync.WaitGroup
		for range 4 {
			wg.Go(func() {
				if got := x.Mark(key); !reflect.DeepEqual(got, want) {
					t.Errorf("%s: marks differ: %v and %v", task.Name(), got, want)
				}
				x.Mark(lab.Answer{x.Sheet().Fields[0].ID: "nonsense"})
				if p := x.Practice(); p != nil {
					for _, v := range []lab.Verb{lab.LockOut, lab.Energize, lab.Look} {
						_, _ = p.Do(lab.Move{Verb: v}) // what cannot be done is an error
					}
				}
			})
		}
		wg.Wait()
	}
}
