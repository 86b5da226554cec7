package boxfill_test

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
)

func boxNames(choices []boxfill.Choice) string {
	var names []string
	for _, c := range choices {
		names = append(names, c.Box.Name)
	}
	return strings.Join(names, ", ")
}

func TestPickOrder(t *testing.T) {
	marked := func(name string, volume string, gangs int) boxfill.StockBox {
		return boxfill.StockBox{Name: name, Section: boxfill.Section{Marked: vol(volume)}, Gangs: gangs}
	}
	stock := []boxfill.StockBox{
		marked("too small", "15.9 in3", 1),
		marked("b", "18 in3", 1),
		marked("a", "18 in3", 1),
		marked("wide", "18 in3", 2),
		marked("exactly full", "16 in3", 1),
		marked("deep", "22.5 in3", 1),
		{Name: "of unknown volume"},
		{Name: "without clamps", Section: boxfill.Section{Marked: vol("14 in3")}, Clamps: boxfill.NoClamps},
		{Name: "clamped outside", Section: boxfill.Section{Marked: vol("14.5 in3")}, Clamps: boxfill.ExternalClamps},
		{Name: "clamped inside", Section: boxfill.Section{Marked: vol("14.9 in3")}, Clamps: boxfill.InternalClamps},
	}
	const want = "without clamps, clamped outside, exactly full, a, b, wide, deep"
	r := rand.New(rand.NewPCG(1, 2))
	for range 10 {
		choices, err := boxfill.Pick(us(), stock, switchBox(boxfill.Box{}))
		if err != nil {
			t.Fatal(err)
		}
		if got := boxNames(choices); got != want {
			t.Errorf("picked %s; want %s", got, want)
		}
		shuffle(r, stock)
	}
}

// TestPickKeepsTheBoxesRing: what is on the box stays on the one that replaces it.
func TestPickKeepsTheBoxesRing(t *testing.T) {
	c := switchBox(boxfill.Box{Sections: []boxfill.Section{{}}, Additions: []boxfill.Addition{{Kind: boxfill.PlasterRing, Marked: 4 * in3}}})
	choices, err := boxfill.Pick(us(), us().Stock(1), c)
	if err != nil {
		t.Fatal(err)
	}
	if got := choices[0].Box.Name + ", " + choices[0].Result.Available.String(); got != "octagon 4 x 1.25, 16.5 in3" {
		t.Errorf("picked %s, want the box of 12.5 in3 with the ring of 4", got)
	}
}

// TestPickKeepsTheBarrier: the barrier takes its volume from every box of the stock,
// and one that has not so much is no choice.
func TestPickKeepsTheBarrier(t *testing.T) {
	c := switchBox(boxfill.Box{Sections: []boxfill.Section{{}}, Barriers: []boxfill.Barrier{{Kind: boxfill.NonmetallicBarrier}},
		Share: boxfill.Share{Parts: 1, Whole: 2}})
	if r, err := boxfill.Fill(us(), c); err != nil || r.Status != boxfill.VolumeUnknown {
		t.Errorf("a box of unknown volume: %v, %v", r.Status, err)
	}
	stock := append(us().Stock(2), boxfill.StockBox{Name: "thimble", Section: boxfill.Section{Marked: in3}})
	stock[len(stock)-1].Section.Marked /= 2
	choices, err := boxfill.Pick(us(), stock, c)
	if err != nil {
		t.Fatal(err)
	}
	// 16 in3 on one side of a barrier of 1 in3 wants 33 in3.
	if got := choices[0].Box.Name + ", " + choices[0].Result.Available.String(); got != "square 4.6875 x 2.125, 20.5 in3" {
		t.Errorf("picked %s, want half of 42 in3 less 1", got)
	}
	c.Box.Sections[0].Marked = 18 * in3
	if _, err := boxfill.Remedies(us(), c, boxfill.RemedyOptions{Stock: stock}); err != nil {
		t.Errorf("remedies of a box with a barrier: %v", err)
	}
}

// TestPickSkipsBoxesWithFewGangs: too few gangs make no choice, and no error.
func TestPickSkipsBoxesWithFewGangs(t *testing.T) {
	c := switchBox(boxfill.Box{})
	c.Devices = append(c.Devices, c.Devices[0])
	choices, err := boxfill.Pick(us(), us().Stock(2), c)
	if err != nil {
		t.Fatal(err)
	}
	if got := boxNames(choices); strings.Contains(got, "device") || !strings.Contains(got, "masonry") {
		t.Errorf("picked %s for two devices", got)
	}
}

func TestPickProblems(t *testing.T) {
	bad := switchBox(boxfill.Box{})
	bad.Devices[0].Gangs = -1
	_, err := boxfill.Pick(us(), us().Stock(1), bad)
	if !errors.Is(err, boxfill.ErrNegative) || strings.Contains(err.Error(), "Stock") {
		t.Errorf("malformed contents: %v", err)
	}
	stock := []boxfill.StockBox{
		{Name: "x", Section: boxfill.Section{Type: "hat"}},
		{Name: "y", Section: boxfill.Section{Marked: 20 * in3}, Gangs: -1},
		{Name: "z", Section: boxfill.Section{Marked: 20 * in3}, Clamps: 9},
	}
	_, err = boxfill.Pick(us(), stock, switchBox(boxfill.Box{}))
	for _, path := range []string{"Stock[0].Box.Sections[0].Type", "Stock[1].Box.Gangs", "Stock[2].Clamps"} {
		if err == nil || !strings.Contains(err.Error(), path) {
			t.Errorf("the error does not name %s: %v", path, err)
		}
	}
}

func TestMore(t *testing.T) {
	c := switchBox(boxfill.MarkedBox(18 * in3))
	if n, status, err := boxfill.More(us(), c, awg(14)); n != 1 || status != boxfill.Fits || err != nil {
		t.Errorf("%d more, %v, %v; want 1 more in 2 in3 to spare", n, status, err)
	}
	if n, _, err := boxfill.More(us(), c, awg(12)); n != 0 || err != nil {
		t.Errorf("%d more, %v; want none: it would raise the clamps' allowance too", n, err)
	}
	c.Box = boxfill.Box{}
	if n, status, err := boxfill.More(us(), c, awg(14)); n != 0 || status != boxfill.VolumeUnknown || err != nil {
		t.Errorf("%d more, %v, %v; want a status", n, status, err)
	}
	if _, _, err := boxfill.More(us(), c, awg(1)); !errors.Is(err, boxfill.ErrSize) {
		t.Errorf("%v; want a size that is not in the table", err)
	}
}

func TestFillSpaces(t *testing.T) {
	box := boxfill.Box{Sections: []boxfill.Section{{Marked: vol("40.5 in3")}}, Barriers: []boxfill.Barrier{{Kind: boxfill.MetalBarrier}}}
	space := func(parts, whole int) boxfill.Contents {
		c := switchBox(box)
		c.Box.Share = boxfill.Share{Parts: parts, Whole: whole}
		return c
	}
	results, err := boxfill.FillSpaces(us(), []boxfill.Contents{space(2, 5), space(3, 5)})
	if err != nil {
		t.Fatal(err)
	}
	if results[0].Available != 16*in3 || results[1].Available != 24*in3 {
		t.Errorf("the spaces have %v and %v, want 16 and 24 in3", results[0].Available, results[1].Available)
	}
	other := space(1, 5)
	other.Box.Gangs = 2
	rows := []struct {
		why    string
		spaces []boxfill.Contents
		kind   error
	}{
		{"more than the box", []boxfill.Contents{space(2, 3), space(1, 2)}, boxfill.ErrShare},
		{"more spaces than a barrier makes", []boxfill.Contents{space(1, 3), space(1, 3), space(1, 3)}, boxfill.ErrShare},
		{"not the same box", []boxfill.Contents{space(1, 5), other}, boxfill.ErrMismatch},
		{"spaces without a barrier", []boxfill.Contents{switchBox(boxfill.MarkedBox(in3)), switchBox(boxfill.MarkedBox(in3))}, boxfill.ErrShare},
		{"a bad space", []boxfill.Contents{space(1, 3), space(4, 3)}, boxfill.ErrShare},
	}
	for _, row := range rows {
		if _, err := boxfill.FillSpaces(us(), row.spaces); !errors.Is(err, row.kind) {
			t.Errorf("%s: %v, want %v", row.why, err, row.kind)
		}
	}
}

func TestFindBox(t *testing.T) {
	rows := []struct{ why, text, want string }{
		{"its name", "device 3 x 2 x 3.5", "device 3 x 2 x 3.5"},
		{"without spaces, words last", "3x2x3.5 device", "device 3 x 2 x 3.5"},
		{"fractions, the word box, inches", "4 in x 2-1/8 in Square box", "square 4 x 2.125"},
		{"a square box with both dimensions", "square 4x4x1-1/2", "square 4 x 1.5"},
		{"sixteenths", "4-11/16 x 2-1/8 square", "square 4.6875 x 2.125"},
		{"dimensions that only one type has", "3 x 2 x 2-3/4", "device 3 x 2 x 2.75"},
		{"another sign for times", "3×2×2.5", "device 3 x 2 x 2.5"},
	}
	for _, row := range rows {
		if b, err := us().FindBox(row.text); err != nil || b.Name != row.want {
			t.Errorf("%s: %q is %q, %v; want %q", row.why, row.text, b.Name, err, row.want)
		}
	}
	bad := []struct{ why, text, says string }{
		{"two shapes", "4 x 1.5", `"octagon 4 x 1.5", "square 4 x 1.5"`},
		{"no such depth", "device 3x2x3", "nearest"},
		{"nothing", "", "nearest"},
		{"no number", "3-x", "nearest"},
		{"a third of an inch", "3x2x1/3", "nearest"},
	}
	for _, row := range bad {
		if b, err := us().FindBox(row.text); !errors.Is(err, boxfill.ErrName) || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %q is %q, %v; want an error that says %s", row.why, row.text, b.Name, err, row.says)
		}
	}
	if _, err := (&boxfill.Table{Region: "x"}).FindBox("3x2x3.5"); err == nil || !strings.Contains(err.Error(), "marked on the box") {
		t.Errorf("a table without boxes: %v", err)
	}
}
