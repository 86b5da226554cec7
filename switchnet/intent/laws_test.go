package intent_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// wrong returns the shed with some of the mistakes in it that do not get in one
// another's way, and how many there are.
func wrong(t *rapid.T) (intent.Intent, int) {
	in := shed()
	n := 0
	for _, m := range mistakes {
		whole := len(in.Controls[1].Lights) > 0 && len(in.Controls[1].Places) > 0
		if whole && rapid.IntRange(0, 9).Draw(t, m.why) == 9 {
			m.in(&in)
			n++
		}
	}
	return in, n
}

// details returns what is said of an intent without the numbers of the entries, in
// an order of its own.
func details(in intent.Intent) []string {
	var ps wiring.Problems
	errors.As(in.Check(), &ps)
	var out []string
	for _, p := range ps {
		out = append(out, p.At.List+": "+p.Detail+": "+strings.Join(p.Candidates, ", "))
	}
	slices.Sort(out)
	return out
}

// What is said does not depend on the order of the lists, but for the names that
// are there twice, of which the later one is blamed.
func TestShuffled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, _ := wrong(t)
		want := details(in)
		for _, d := range want {
			if strings.Contains(d, "already") || strings.Contains(d, "twice") {
				return
			}
		}
		shuffle(t, in.Feeds)
		shuffle(t, in.Boxes)
		shuffle(t, in.Lights)
		shuffle(t, in.Runs)
		shuffle(t, in.Controls)
		shuffle(t, in.Needs)
		shuffle(t, in.Stairs)
		if d := cmp.Diff(want, details(in)); d != "" {
			t.Fatal(d)
		}
	})
}

func shuffle[T any](t *rapid.T, list []T) {
	for i := range list {
		j := rapid.IntRange(i, len(list)-1).Draw(t, "to")
		list[i], list[j] = list[j], list[i]
	}
}

// Nothing is missed: an intent with mistakes is refused, and one without is not.
func TestRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, n := wrong(t)
		if got := details(in); (len(got) == 0) != (n == 0) {
			t.Fatalf("%d mistakes: %q", n, got)
		}
	})
}

// FuzzCheck puts any names and numbers in an intent. Check never panics, and what it
// refuses has a place that exists.
func FuzzCheck(f *testing.F) {
	f.Add("", "panel", "aisle", int64(0), uint8(0), 1)
	f.Add("panel", "panel", "box", int64(-1), uint8(9), 3)
	f.Add("loft\n", "\xff", "floodlight", int64(1)<<62, uint8(2), 7)
	f.Fuzz(func(t *testing.T, a, b, c string, n int64, k uint8, at int) {
		in := shed()
		i := at & 1
		in.Boxes[i].Name, in.Boxes[i].Kind = a, wiring.BoxKind(k)
		in.Feeds[0].Box, in.Lights[i].Name, in.Lights[i].Box = b, c, a
		in.Runs[i].From, in.Runs[i].To, in.Runs[i].Cable.Name = a, b, c
		in.Controls[i].Name, in.Controls[i].Lights, in.Controls[i].Places = c, []string{a, c}, []string{b, a, b}
		in.Needs[i] = intent.Need{Box: a, Kind: intent.NeedKind(k), Feed: b, For: c}
		in.Stairs[0] = intent.Stair{Name: c, Risers: int(n), Levels: []string{a, b, a}, Lights: []string{c, c}}
		in.Supply.Lines = int(n)
		if at&2 > 0 {
			in.Runs, in.Controls[1].Lights = append(in.Runs, in.Runs...), nil
		}
		if at&4 > 0 {
			in.Boxes, in.Feeds = nil, nil
		}
		var ps wiring.Problems
		if err := in.Check(); err != nil && !errors.As(err, &ps) {
			t.Fatalf("%T: %v", err, err)
		}
		lists := map[string]int{"supply": 1, "feeds": len(in.Feeds), "boxes": len(in.Boxes), "lights": len(in.Lights), "runs": len(in.Runs),
			"controls": len(in.Controls), "needs": len(in.Needs), "stairs": len(in.Stairs)}
		for _, p := range ps {
			if p.At.Index >= lists[p.At.List] || p.Also != nil && p.Also.Index >= lists[p.Also.List] {
				t.Fatalf("%+v", p)
			}
		}
	})
}
