package boxfill_test

import (
	"errors"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// crowded is a switch where three cables meet: it needs 20 in3 in 18.
func crowded() boxfill.Contents {
	return boxfill.Contents{
		Box:        boxfill.MarkedBox(18 * in3),
		Conductors: []boxfill.Conductors{{awg(14), 6, boxfill.Spliced, 0}},
		Grounds:    []boxfill.Grounds{{awg(14), 3, boxfill.BareGround}},
		Clamps:     boxfill.Clamps{Internal: 2},
		Devices:    []boxfill.Device{{Largest: awg(14)}},
	}
}

func rings() []boxfill.StockAddition {
	return []boxfill.StockAddition{
		{Name: "of 4 in3", Addition: boxfill.Addition{Kind: boxfill.PlasterRing, Marked: 4 * in3}},
		{Name: "of 3 in3", Addition: boxfill.Addition{Kind: boxfill.PlasterRing, Marked: 3 * in3}},
		{Name: "of 1 in3", Addition: boxfill.Addition{Kind: boxfill.PlasterRing, Marked: 1 * in3}},
		{Name: "of the square box", Addition: boxfill.Addition{Kind: boxfill.ExtensionRing, Type: "square 4 x 1.5"}},
		{Name: "of 21 in3", Addition: boxfill.Addition{Kind: boxfill.ExtensionRing, Marked: 21 * in3}},
		{Name: "of 9 in3", Addition: boxfill.Addition{Kind: boxfill.DomedCover, Marked: 9 * in3}},
	}
}

func cable(name string, wires int) boxfill.Cable {
	return boxfill.Cable{Name: name, Conductors: []boxfill.Conductors{{awg(14), wires, boxfill.Spliced, 0}},
		Grounds: []boxfill.Grounds{{awg(14), 1, boxfill.BareGround}}}
}

func summary(remedies []boxfill.Remedy) string {
	var lines []string
	for _, r := range remedies {
		var kinds []string
		for _, s := range r.Steps {
			kinds = append(kinds, s.Kind.String())
		}
		lines = append(lines, strings.Join(kinds, "+")+" frees "+r.Frees.String()+": "+r.Result.Status.String())
	}
	return strings.Join(lines, "\n")
}

func TestRemedies(t *testing.T) {
	big := crowded()
	big.Conductors[0].Count = 9
	rows := []struct {
		why      string
		contents boxfill.Contents
		options  boxfill.RemedyOptions
		want     string
	}{
		{"all of them, least work first, and the smallest ring or box that cures", crowded(), boxfill.RemedyOptions{
			Stock: []boxfill.StockBox{{Name: "deep", Section: boxfill.Section{Marked: 22 * in3}}, {Name: "deeper", Section: boxfill.Section{Marked: 26 * in3}},
				{Name: "shallow", Section: boxfill.Section{Marked: 14 * in3}}},
			Additions: rings(), Cables: []boxfill.Cable{cable("C3", 2)},
			Smaller: []boxfill.Substitution{{From: awg(14), To: awg(16)}},
		}, `clamps outside frees 2 in3: exactly full
plaster ring frees 3 in3: fits
extension ring frees 21 in3: fits
larger box frees 4 in3: fits
cable elsewhere frees 4 in3: fits
smaller conductors frees 2.5 in3: fits`},
		{"what only helps comes after, most freed first", crowded(), boxfill.RemedyOptions{
			Stock:     []boxfill.StockBox{{Name: "a little deeper", Section: boxfill.Section{Marked: vol("19.5 in3")}}},
			Additions: rings()[2:3],
		}, `clamps outside frees 2 in3: exactly full
larger box frees 1.5 in3: does not fit
plaster ring frees 1 in3: does not fit`},
		{"no single step is enough, so two together", big, boxfill.RemedyOptions{
			Additions: rings()[:3], Cables: []boxfill.Cable{cable("C3", 2)},
		}, `cable elsewhere+plaster ring frees 8 in3: exactly full
plaster ring frees 4 in3: does not fit
cable elsewhere frees 4 in3: does not fit
clamps outside frees 2 in3: does not fit`},
		{"nothing to be had but the clamps", big, boxfill.RemedyOptions{}, `clamps outside frees 2 in3: does not fit`},
		{"a box that fits needs no remedy", switchBox(boxfill.MarkedBox(18 * in3)), boxfill.RemedyOptions{Additions: rings()}, ""},
		{"a box of unknown volume needs its volume read", switchBox(boxfill.Box{}), boxfill.RemedyOptions{Additions: rings()}, ""},
	}
	for _, row := range rows {
		remedies, err := boxfill.Remedies(us(), row.contents, row.options)
		if err != nil {
			t.Errorf("%s: %v", row.why, err)
		} else if got := summary(remedies); got != row.want {
			t.Errorf("%s:\n%s\nwant\n%s", row.why, got, row.want)
		}
	}
}

// TestRemedyText: the steps say what to do, in the order of doing.
func TestRemedyText(t *testing.T) {
	c := crowded()
	c.Conductors[0].Count = 9
	remedies, err := boxfill.Remedies(us(), c, boxfill.RemedyOptions{Additions: rings()[:1], Cables: []boxfill.Cable{cable("C3", 2)}})
	if err != nil || len(remedies) == 0 {
		t.Fatal(remedies, err)
	}
	var texts []string
	for _, step := range remedies[0].Steps {
		texts = append(texts, step.Text)
	}
	if got, want := strings.Join(texts, "; "), "route C3 to another box; fit a plaster ring (of 4 in3)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestRemedyDomedCover: a cover goes over a box without devices only.
func TestRemedyDomedCover(t *testing.T) {
	c := crowded()
	c.Devices, c.Box = nil, boxfill.MarkedBox(12*in3)
	remedies, err := boxfill.Remedies(us(), c, boxfill.RemedyOptions{Additions: rings()[5:]})
	if got, want := summary(remedies), "domed cover frees 9 in3: fits\nclamps outside frees 2 in3: does not fit"; err != nil || got != want {
		t.Errorf("%s, %v; want %s", got, err, want)
	}
}

// TestRemedyRingMeetsBox: a square ring goes on a square box, not on an octagon
// nor on a box of which only the volume is known.
func TestRemedyRingMeetsBox(t *testing.T) {
	square, octagon, unknown := crowded(), crowded(), crowded()
	square.Box, octagon.Box = boxfill.BoxOfType("square 4 x 1.25"), boxfill.BoxOfType("octagon 4 x 1.5")
	options := boxfill.RemedyOptions{Additions: rings()[3:4]}
	remedies, err := boxfill.Remedies(us(), square, options)
	if got, want := summary(remedies), "clamps outside frees 2 in3: exactly full\nextension ring frees 21 in3: fits"; err != nil || got != want {
		t.Errorf("%s, %v; want %s", got, err, want)
	}
	for _, c := range []boxfill.Contents{octagon, unknown} {
		remedies, err = boxfill.Remedies(us(), c, options)
		if got := summary(remedies); err != nil || strings.Contains(got, "ring") {
			t.Errorf("%s, %v; want no ring", got, err)
		}
	}
}

func TestRemedyProblems(t *testing.T) {
	rows := []struct {
		why     string
		options boxfill.RemedyOptions
		kind    error
		path    string
	}{
		{"a cable that is not in the box", boxfill.RemedyOptions{Cables: []boxfill.Cable{cable("C9", 7)}}, boxfill.ErrMismatch, "Cables[0]"},
		{"a cable of less than nothing", boxfill.RemedyOptions{Cables: []boxfill.Cable{cable("C9", -1)}}, boxfill.ErrMismatch, "Cables[0]"},
		{"a ring of no kind", boxfill.RemedyOptions{Additions: []boxfill.StockAddition{{}}}, boxfill.ErrUnset, "Additions[0].Box.Additions[0].Kind"},
		{"a box nobody knows", boxfill.RemedyOptions{Stock: []boxfill.StockBox{{Section: boxfill.Section{Type: "hat"}}}}, boxfill.ErrName, "Stock[0].Box.Sections[0].Type"},
		{"a larger size as a smaller one", boxfill.RemedyOptions{Smaller: []boxfill.Substitution{{From: awg(14), To: awg(12)}}}, boxfill.ErrMismatch, "Smaller[0]"},
		{"a size the table does not have", boxfill.RemedyOptions{Smaller: []boxfill.Substitution{{From: awg(14), To: conductor.Metric(quantity.SquareMillimeter)}}}, boxfill.ErrSize, "Smaller[0]"},
		{"no size", boxfill.RemedyOptions{Smaller: []boxfill.Substitution{{}}}, boxfill.ErrUnset, "Smaller[0]"},
	}
	for _, row := range rows {
		_, err := boxfill.Remedies(us(), crowded(), row.options)
		var problem *boxfill.Problem
		if !errors.Is(err, row.kind) || !errors.As(err, &problem) || problem.Path != row.path {
			t.Errorf("%s: %v; want %v at %s", row.why, err, row.kind, row.path)
		}
	}
	bad := crowded()
	bad.Clamps.Internal = -1
	if _, err := boxfill.Remedies(us(), bad, boxfill.RemedyOptions{}); !errors.Is(err, boxfill.ErrNegative) {
		t.Errorf("malformed contents: %v", err)
	}
}
