package check_test

import (
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/check"
)

// TestCasesSay holds what is said of the wirings that people asked about, where the code of
// a finding is not the whole answer: the rails and the way of a short, whose neutral it is,
// which of the handles is master, how the switches stand in the states that show it.
func TestCasesSay(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		code check.Code
		says []string // of one finding, in its message or in the states that show it
	}{
		{"three-replaced", "does-not-toggle", []string{"stair at passage does not always toggle", "stays unlit"}},
		{"one-of-three-replaced", "does-not-toggle", []string{"stair at passage does not always toggle", "lit only with stair at hall"}},
		{"four-way-by-its-screws", "does-not-toggle", []string{"stair at hall does not always toggle", "lit only with stair at passage"}},
		{"hot-joined-to-a-traveler", "does-not-toggle", []string{"aisle at yard-door does not always toggle aisle light: it stays lit", "store-door down"}},
		{"hot-joined-to-a-traveler", "other-control", []string{"bench lamp"}},
		{"tried-blind-short", "short", []string{"line A and neutral are joined", "through stair to stair traveler 2 at hall, spliced to C1 white at hall", "hall down"}},
		{"return-in-the-neutrals", "short", []string{"line A and neutral are joined", "C5 white at aisle-4"}},
		{"return-in-the-neutrals", "breaker-too-large", []string{"20 A", "15 A"}},
		{"return-on-the-white", "white-as-return", []string{"C5.white carries the return from a switch"}},
		{"hot-and-neutral-on-the-throws", "polarity-flips", []string{"hot and neutral are both on the throws", "hall up, landing down", "hall down, landing up"}},
		{"dimmer-on-the-throws", "polarity-flips", []string{"the full voltage between them", "a dimmer does not outlast that"}},
		{"dimmer-by-the-book", "short", []string{"line A and neutral are joined", "hall down"}},
		{"feed-through-on-the-leg", "other-control", []string{"parlour light"}},
		{"other-line-for-a-neutral", "wrong-voltage", []string{"240 V", "120 V"}},
		{"crossing-at-the-source", "neutral-on-throw", []string{"stair at hall has a neutral and a hot on its throws", "is a short"}},
		{"red-for-a-neutral", "neutral-coloured-wrong", []string{"C2.red is a neutral"}},
		{"electronic-at-the-dead-end", "control-without-power", []string{"stair at landing has power for its electronics in no state"}},
		{"electronic-at-both-ends", "control-at-wrong-end", []string{"stair at landing", "not on the unswitched hot"}},

		{"four-gang-clamped", "box-too-full", []string{"51 in3 needed, 50 in3 there"}},
		{"outlet-with-a-three-wire", "box-too-full", []string{"20 in3 needed, 18 in3 there"}},
		{"outlet-with-a-clamp", "box-too-full", []string{"20 in3 needed, 18 in3 there"}},
		{"switch-clamped-in-fifteen", "box-too-full", []string{"16 in3 needed, 15 in3 there"}},
		{"three-wire-in-fifteen", "box-too-full", []string{"16 in3 needed, 15 in3 there"}},
		{"twelve-gauge-clamped-in-eighteen", "box-too-full", []string{"20.25 in3 needed, 18 in3 there"}},
		{"four-way-clamped-in-eighteen", "box-too-full", []string{"20 in3 needed, 18 in3 there"}},
		{"light-box-in-eighteen", "box-too-full", []string{"20 in3 needed, 18 in3 there"}},
		{"ganged-boxes", "box-too-full", []string{"43 in3 needed, 42 in3 there"}},
		{"ganged-boxes-2023", "box-too-full", []string{"44.125 in3 needed, 42 in3 there"}},

		{"stair-fed-twice", "no-neutral-at-switch", []string{"no neutral of lights is in the box of stair at landing"}},
		{"front-door-two-dead-ends", "no-neutral-at-switch", []string{"no neutral of porch is in the box of porch at front-door"}},
		{"front-door-two-dead-ends", "no-neutral-at-switch", []string{"no neutral of passage is in the box of passage at front-door"}},
		{"travelers-in-a-cable-of-their-own", "unbalanced-cable", []string{"all returns by another way", "300.3(B)(3)", "may permit it"}},
		{"bare-as-a-traveler", "ground-as-conductor", []string{"C2.bare", "used as stair traveler"}},
		{"bare-as-a-traveler-in-metal", "short", []string{"line A and ground are joined", "C2.bare", "hall down"}},
		{"neutrals-of-two-circuits-tied", "neutrals-joined", []string{"the neutrals of hall and porch are joined"}},

		{"borrowed-neutral", "borrowed-neutral", []string{"the hot of downstairs and the neutral of upstairs", "with upstairs off, its neutral is live wherever it is opened"}},
		{"new-board-shared-neutral", "borrowed-neutral", []string{"loft light", "the hot of upstairs and the neutral of downstairs"}},
		{"neutral-of-the-other-pair", "borrowed-neutral", []string{"porch light", "the hot of porch and the neutral of passage"}},
		{"hall-neutral-through-the-load-side", "shared-neutral-through-device", []string{"goes on through outlet at parlour"}},
	} {
		x := readExample(t, "testdata/cases/"+c.name+".yaml")
		said := ""
		ok := false
		for _, f := range run(t, x.job, x.suite) {
			if f.Code != c.code {
				continue
			}
			text := f.Message
			for _, w := range f.Witness {
				text += "; " + w.Says
			}
			said += "\n" + text
			has := true
			for _, s := range c.says {
				has = has && strings.Contains(text, s)
			}
			ok = ok || has
		}
		if !ok {
			t.Errorf("%s: no %s says %q:%s", c.name, c.code, c.says, said)
		}
	}
}

// TestCasesFill counts the boxes that people asked about from the wiring of their jobs: what
// is required in each, whether or not it fits.
func TestCasesFill(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, box, need string
		status          boxfill.Status
	}{
		{"four-gang", "slip-door", "49 in3", boxfill.Fits},
		{"four-gang-2017", "slip-door", "48 in3", boxfill.Fits},
		{"four-gang-clamped", "slip-door", "51 in3", boxfill.DoesNotFit},
		{"four-gang-canada", "slip-door", "615 mL", boxfill.Fits},
		{"outlet-exactly-full", "bench", "18 in3", boxfill.ExactlyFull},
		{"switch-in-fifteen", "slip-door", "14 in3", boxfill.Fits},
		{"three-wire-clamped-in-eighteen", "slip-door", "18 in3", boxfill.ExactlyFull},
		{"twelve-gauge-in-eighteen", "slip-door", "18 in3", boxfill.ExactlyFull},
		{"four-way-in-eighteen", "passage", "18 in3", boxfill.ExactlyFull},
		{"light-box-in-eighteen", "aisle-1", "20 in3", boxfill.DoesNotFit},
		{"ganged-boxes", "slip-door", "43 in3", boxfill.DoesNotFit},
		{"ganged-boxes-unclamped", "slip-door", "40.75 in3", boxfill.Fits},
		{"ganged-boxes-2023", "slip-door", "44.125 in3", boxfill.DoesNotFit},
		{"ganged-boxes-unclamped-2023", "slip-door", "41.875 in3", boxfill.Fits},
	} {
		x := readExample(t, "testdata/cases/"+c.name+".yaml")
		contents, err := x.job.Wiring.Contents(c.box)
		if err != nil {
			t.Fatal(err)
		}
		r, err := boxfill.Fill(&x.file.Region.Box, contents)
		if err != nil {
			t.Fatal(err)
		}
		need, err := quantity.ParseVolume(c.need)
		if err != nil {
			t.Fatal(err)
		}
		if r.Required != need || r.Status != c.status {
			t.Errorf("%s: box %s needs %v, %v; want %s, %v\n%s", c.name, c.box, r.Required, r.Status, c.need, c.status, r.Explain())
		}
	}
}

// A line whose own colour is one of a line's is told for its mark, and not for want of one.
func TestMarkedAsNoLineSays(t *testing.T) {
	x := readExample(t, codesDir+"/line-unmarked/line-marked-white.yaml")
	found := run(t, x.job, x.suite)
	if len(found) != 1 || !strings.Contains(found[0].Message, "carries a line and is marked as if it were no line in box ") {
		t.Errorf("it says %+v", found)
	}
}
