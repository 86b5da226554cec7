package check_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/job"
)

// cases are wirings that people asked about, as found, as they were advised to change
// them, and as they should be. What is found in each stands in the file as a comment
// beside what causes it. Cure is a fix of a finding, or the word none where no step and no
// pair of steps that is tried cures any; it is empty for a file without findings.
var cases = []struct{ name, why, cure string }{
	// Every handle must have its say, and has not.
	{"three-replaced", "lit in one of eight takes two wrong devices, so it takes a step at each", "exchange what is on stair.common and stair.traveler 1 in box hall, then exchange what is on stair.common and stair.traveler 1 in box landing"},
	{"one-of-three-replaced", "one wrong end has a master and a cure at that end", "exchange what is on stair.common and stair.traveler 1 in box hall"},
	{"four-way-by-its-screws", "one wire of each pair belongs in the other", "exchange what is on stair.pair 1 first and stair.pair 2 second in box passage"},
	{"four-way-right-side-exchanged", "advice: it changes nothing, as was seen", "exchange what is on stair.pair 1 first and stair.pair 2 second in box passage"},
	{"four-way-put-right", "each cable on a pair, in whichever order", ""},
	{"hot-joined-to-a-traveler", "lit in three of four, and the bench goes with a switch that should not touch it", "splice C1.black and C4.black together in box store-door"},
	{"bench-left-on-a-traveler", "advice: the light is cured and the bench is not", "splice C1.black, C4.black and aisle.common together in box store-door"},
	{"bench-on-the-constant-hot", "both are", ""},
	{"relocated-box", "the new box is wrong, as was assumed", "exchange what is on stair.common and stair.traveler 1 in box landing"},
	{"relocated-box-old-end-wrong", "advice: right only if the box that nobody touched was right", "exchange what is on stair.common and stair.traveler 1 in box hall"},
	{"relocated-box-both-ends-wrong", "the same table with two causes", "exchange what is on stair.common and stair.traveler 1 in box hall, then exchange what is on stair.common and stair.traveler 1 in box landing"},
	{"relocated-box-put-right", "the white of a dead end, re-marked, brings the hot", ""},
	{"wrong-since-built", "the feed on a traveler screw, for thirty years", "exchange what is on stair.common and stair.traveler 1 in box hall"},
	{"wrong-since-built-other-end-tried", "the exchange tried at the wrong end leaves two wrong, and takes two steps", "exchange what is on stair.common and stair.traveler 1 in box hall, then exchange what is on stair.common and stair.traveler 1 in box landing"},
	{"wrong-since-built-now-dark", "or none lit at all", "exchange what is on stair.common and stair.traveler 1 in box hall, then exchange what is on stair.common and stair.traveler 2 in box landing"},
	{"single-pole-in-its-place", "a new device with three screws, and the capped wire on it", "replace stair at hall with a three-way, then land C2.red in box hall on traveler 2 of stair"},
	{"travelers-on-one-screw", "what the report would have been with both on one screw", "splice C2.black, C2.red and stair.load together in box hall"},
	{"tried-blind-dark", "blind landing: never lit", "exchange what is on stair.common and stair.traveler 1 in box hall, then exchange what is on stair.common and stair.traveler 2 in box landing"},
	{"tried-blind-one-of-four", "blind landing: one of four", "exchange what is on stair.common and stair.traveler 1 in box landing"},
	{"tried-blind-short", "a short is no landing of the right wires: a neutral is on a screw", "take stair.traveler 2 out of the splice in box hall and splice it apart, then splice C2.red and stair.traveler 2 together in box hall"},
	{"return-in-the-neutrals", "the closed chain is a short; three lights never go out; 14 gauge behind 20 A", none},
	{"return-on-the-white", "advice: it works, and brings the leg back on a white", "exchange the ends of C5.white and C5.black in box aisle-4, then exchange the ends of C5.white and C5.black in box store-door"},
	{"return-on-the-black", "right but for the neutral that neither switch has", none},
	{"hot-and-neutral-on-the-throws", "passes every flip, and is live on both sides in one dark state", none},
	{"dimmer-on-the-throws", "the same, with a dimmer across the line", none},
	{"dimmer-by-the-book", "the right dimmer on the right screws of the wrong scheme is a short", none},
	{"feed-through-on-the-leg", "what feeds on hangs on the leg", "splice C1.black, C3.black and stair.line together in box hall"},
	{"feed-through-put-right", "and on the feed", ""},
	{"other-line-for-a-neutral", "two lines in one box: 240 V", "exchange the ends of C1.white and C1.red in box bench"},
	{"one-traveler-pulled", "too few conductors were pulled", none},
	{"open-traveler", "the same table, cured elsewhere", "make C2.red whole"},
	{"dead-throw", "and once more, cured by a new device only", none},
	{"dead-throw-at-the-other-end", "the same table again: no flip says which end it is", none},
	{"contact-that-stays", "which is what flipping each switch of a lit lamp finds", none},
	{"commons-joined", "another scheme, and right; landed wrong, it gives the other table", ""},
	{"travelers-exchanged", "harmless: only the sense of the handles turns over", ""},
	{"travelers-exchanged-as-advised", "advice: so it cures nothing either", "exchange what is on stair.common and stair.traveler 1 in box hall"},
	{"second-lamp-on-a-traveler", "in series in one state, and live at both ends in others", "splice C2.white and C4.white together in box landing"},
	{"crossing-at-the-source", "thought of against what couples to the idle traveler: it works, and a neutral is switched", none},
	{"crossing-mislanded", "and a device by the place of its screws is a short", "exchange what is on stair.pair 1 first and stair.pair 2 first in box hall"},
	{"red-for-a-neutral", "a spare red that was proven free may not be marked for a neutral", "exchange the ends of C2.red and C2.white in box parlour, then exchange the ends of C2.red and C2.white in box parlour-door, then take the marking off C2.white in box parlour, then take the marking off C2.white in box parlour-door"},

	// Electronics in a chain.
	{"electronic-at-the-dead-end", "no neutral there, so it does nothing", none},
	{"electronic-at-both-ends", "with a neutral its power hangs on the near one", none},
	{"electronic-at-the-supply-end", "one of them, where the hot comes in", ""},

	// Box fill.
	{"four-gang", "(15 + 8) x 2 + 1.5 x 2 of six grounds = 49 of 50 in3", ""},
	{"four-gang-2017", "(15 + 1 + 8) x 2 = 48 before the rule on grounds", ""},
	{"four-gang-clamped", "and 2 more for clamps: 51", none},
	{"four-gang-canada", "(15 + 2 + 8) x 24.6 mL of 819; the advice counted by two codes at once", ""},
	{"outlet-exactly-full", "(6 + 1 + 2) x 2 = 18 of 18, pigtails not counted", ""},
	{"outlet-with-a-three-wire", "a third wire is one more, traveler or not: 20", none},
	{"outlet-with-a-clamp", "so is a clamp", none},
	{"switch-clamped-in-fifteen", "(4 + 1 + 1 + 2) x 2 = 16 of 15", none},
	{"switch-in-fifteen", "14 without the clamp", ""},
	{"three-wire-in-fifteen", "16 of 15", none},
	{"three-wire-clamped-in-eighteen", "18 of 18", ""},
	{"twelve-gauge-in-eighteen", "(5 + 1 + 2) x 2.25 = 18", ""},
	{"twelve-gauge-clamped-in-eighteen", "20.25", none},
	{"four-way-in-eighteen", "(6 + 1 + 2) x 2 = 18", ""},
	{"four-way-clamped-in-eighteen", "20", none},
	{"light-box-in-eighteen", "(9 + 1) x 2 = 20 of the 8 x 2.25 = 18 that it is marked for", none},
	{"ganged-boxes", "12 + 13.5 + 2.25 + 2.25 + 4 + 9 = 43 of 42, and not as measured", none},
	{"ganged-boxes-unclamped", "40.75", ""},
	{"ganged-boxes-2023", "six grounds are 1.5 allowances: 44.125", none},
	{"ganged-boxes-unclamped-2023", "41.875", ""},

	// Questions about the code.
	{"stair-without-a-neutral", "each switch place wants one", none},
	{"stair-without-a-neutral-since-1990", "it was lawful when it was built", none},
	{"stair-seen-from-both", "one is enough where the whole area is seen", ""},
	{"stair-with-four-wires", "four insulated conductors bring it", ""},
	{"stair-fed-from-below", "so does a feed from below, if the old one goes", ""},
	{"stair-fed-twice", "if it stays, the neutral is another circuit's", none},
	{"front-door-two-dead-ends", "one for each circuit", none},
	{"front-door-fed-through", "feeding through brings it on the same cables", ""},
	{"front-door-four-wires", "and four wires to each dead end do", ""},
	{"four-way-without-a-neutral", "by the letter at the four-way as well", none},
	{"travelers-in-a-cable-of-their-own", "permitted without metal about it, perhaps; the field stands", none},
	{"travelers-alone-into-metal", "forbidden", none},
	{"bare-as-a-traveler", "live in half of the states, and no ground beyond", none},
	{"bare-as-a-traveler-in-metal", "and a short where it touches metal", none},
	{"neutrals-of-two-circuits-tied", "two loops of parallel neutrals", "take C4.white and C6.white out of the splice in box hall and splice it apart, then take C2.white and C4.white out of the splice in box landing and splice it apart"},
	{"two-groups-of-whites", "two groups in each box", ""},

	// Protection that trips.
	{"borrowed-neutral", "its neutral is live where it is opened while the lower circuit lights it", none},
	{"neutral-of-the-other-pair", "its neutral is the passage's, though its hot end meets the porch's when it is dark", "exchange the ends of C2.white and C2.red in box front-door"},
	{"landing-on-one-circuit", "line and neutral together", ""},
	{"new-board-shared-neutral", "a device that compares trips on either light", none},
	{"new-board-own-neutrals", "the best cure", ""},
	{"new-board-one-circuit", "the other: nothing is borrowed, and the cables still do not balance", none},
	{"hall-neutral-through-the-load-side", "the return of the hall passes what compares the parlour", "splice C1.white, C2.white and outlet.line neutral together in box parlour"},
	{"hall-neutral-on-the-line-side", "spliced ahead of it", ""},
}

// none says that a finding has no fix.
const none = "none"

// Of one question people asked a wiring says nothing, and it is no file here: with which
// flips a chain is shown to be right or wrong without opening a box. TestWalks answers it
// over every single fault.

func TestCases(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("testdata/cases/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var listed []string
	for _, c := range cases {
		listed = append(listed, "testdata/cases/"+c.name+".yaml")
	}
	if slices.Sort(listed); !slices.Equal(files, listed) {
		t.Errorf("the files are %v, the cases %v", files, listed)
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			x := readExample(t, "testdata/cases/"+c.name+".yaml")
			src, err := os.ReadFile(x.name)
			if err != nil {
				t.Fatal(err)
			}
			if out, err := job.Format(x.name, src, nil); err != nil || !bytes.Equal(out, src) {
				t.Errorf("not in the canonical layout (%v); that is\n%s", err, out)
			}
			found, err := check.Run(context.Background(), x.job, x.suite, nil)
			if err != nil {
				t.Fatal(err)
			}
			got := map[int][]check.Code{}
			cures := map[string]bool{}
			for i := range found {
				f := &found[i]
				line := x.line(t, f)
				got[line] = append(got[line], f.Code)
				for _, y := range f.Fixes {
					cures[y.Does] = true
				}
				holdFixes(t, &x, f, found)
			}
			for line := range max(lastLine(got), lastLine(x.want)) + 1 {
				if w, g := fmt.Sprint(x.want[line]), fmt.Sprint(got[line]); w != g {
					t.Errorf("%s:%d: got %s, want %s: %s", x.name, line, g, w, c.why)
				}
			}
			switch {
			case c.cure == none && len(cures) > 0:
				t.Errorf("there should be no cure in one step or two, and there is: %v", cures)
			case c.cure != none && c.cure != "" && !cures[c.cure]:
				t.Errorf("want the cure %q; there are %v", c.cure, cures)
			case (c.cure == "") != (len(found) == 0):
				t.Errorf("%d findings, and the cure is said to be %q", len(found), c.cure)
			}
		})
	}
}
