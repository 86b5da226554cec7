package unionfind

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestAgainstLabels compares with the obvious slow partition: a label per
// element, relabelled by a full sweep at each merge.
func TestAgainstLabels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		s := New(n)
		label := make([]int, n)
		for i := range label {
			label[i] = i
		}
		for range rapid.IntRange(0, 60).Draw(t, "merges") {
			x := rapid.IntRange(0, n-1).Draw(t, "x")
			y := rapid.IntRange(0, n-1).Draw(t, "y")
			apart := label[x] != label[y]
			if got := s.Union(int32(x), int32(y)); got != apart {
				t.Fatalf("Union(%d, %d) = %v, want %v", x, y, got, apart)
			}
			from, to := label[x], label[y]
			for i := range label {
				if label[i] == from {
					label[i] = to
				}
			}
		}
		seen := map[int]int32{}
		want := make([]int32, n)
		for i, l := range label {
			if _, ok := seen[l]; !ok {
				seen[l] = int32(len(seen))
			}
			want[i] = seen[l]
		}
		got, count := s.Number()
		if diff := cmp.Diff(want, got); diff != "" || count != len(seen) {
			t.Fatalf("Number: %d sets, want %d; diff (-want +got):\n%s", count, len(seen), diff)
		}
	})
}
