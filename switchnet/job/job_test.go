package job_test

import (
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

func TestShed(t *testing.T) {
	f, err := job.Parse(demo.ShedName, demo.Shed(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if !f.HasIntent() || !f.HasWiring() {
		t.Error("the shed's file has both halves")
	}
	if _, err := wiring.New(f.Wiring); err != nil {
		t.Error(err)
	}
	if pos, ok := f.Position(wiring.Ref{List: "cables", Index: 1, Field: "type"}); !ok || pos.Line != 43 || pos.Column != 22 {
		t.Errorf("the type of cable C2 is at %v, %v", pos, ok)
	}
}
