package check_test

import (
	"context"
	"testing"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/intent"
)

// A stair that names what is not there is an error with every such name, and no finding is
// made of the rest.
func TestStairsOfAnotherJob(t *testing.T) {
	f, j := shed(t)
	j.Intent.Stairs = []intent.Stair{{Name: "loft stair", Risers: 14, Levels: []string{"stair-foot", "attic"}, Lights: []string{"stair light", "moon"}}}
	found, err := check.Run(context.Background(), j, check.Everything(f.Region), nil)
	const want = "check: stair \"loft stair\" names box \"attic\", which the wiring does not have\n" +
		"check: stair \"loft stair\" names light \"moon\", which the wiring does not have"
	if err == nil || err.Error() != want || found != nil {
		t.Errorf("%v, %v", found, err)
	}
}
