package plan_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

func sound() *sketch {
	return newSketch("panel").box(wiring.Panel, "panel").box(device, "a", "b").box(ceiling, "c").
		run("panel", "a", 10).run("a", "b", 10).run("b", "c", 10).light("l", "c").control("g", []string{"l"}, "a", "b")
}

// Bad requests are said with their place, all of them.
func TestBadRequests(t *testing.T) {
	us := region(t, "us-2023")
	uk := region(t, "uk-2018")
	for _, row := range []struct {
		why    string
		change func(s *sketch)
		want   []string // places, in order
		says   string   // part of the first
	}{
		{"a light that no run reaches", func(s *sketch) { s.Runs = s.Runs[:2] }, []string{"lights[0].box"}, "no run leads"},
		{"a place that no run reaches", func(s *sketch) { s.Runs = s.Runs[1:] }, []string{"lights[0].box", "controls[0].places 0", "controls[0].places 1"}, "no run leads"},
		{"a light that is reached only if need be", func(s *sketch) { s.Runs[2].IfNeeded = true }, []string{"lights[0].box"}, `to light "l" in box "c"; the run from b to c does, and is there only if needed: take "if needed" off that run`},
		{"several such runs on the way", func(s *sketch) { s.Runs[1].IfNeeded, s.Runs[2].IfNeeded = true, true }, []string{"lights[0].box", "controls[0].places 1"},
			`the runs from a to b and from b to c do, and are there only if needed: take "if needed" off these runs`},
		{"a run that leads nowhere, after which more is not reached", func(s *sketch) { s.Runs[1].To = "z" }, []string{"runs[1].to"}, `there is no box called "z"`},
		{"a stock that is none, with which nothing could be laid", func(s *sketch) { s.Stock = make([]intent.Stock, 1) }, []string{"stock[0].cable"}, ""},
		{"a control of an unknown feed, beside a need in its box", func(s *sketch) {
			s.Feeds = append(s.Feeds, wiring.Feed{Name: "other", Box: "panel", Breaker: 15 * quantity.Ampere})
			s.Controls[0].Feed = "ligths"
			power(s, "a")
		}, []string{"controls[0].feed"}, ""},
		{"more than the breaker may carry", func(s *sketch) { s.Lights[0].Power = 2000 * quantity.Watt }, []string{"feeds[0].breaker"},
			"draws 16.7 A, and counted as a load that stays on for hours that is too much for a breaker of 15 A with any cable of the stock: share"},
		{"a need that no run reaches", func(s *sketch) { s.box(device, "far"); power(s, "far") }, []string{"needs[0].box"}, "no run leads"},
		{"two feeds and a control on neither", func(s *sketch) {
			s.Feeds = append(s.Feeds, wiring.Feed{Name: "other", Box: "panel", Breaker: 15 * quantity.Ampere})
		}, []string{"controls[0].feed"}, "on which of 2 feeds"},
		{"two feeds and a need in a box without control", func(s *sketch) {
			s.Feeds = append(s.Feeds, wiring.Feed{Name: "other", Box: "panel", Breaker: 15 * quantity.Ampere})
			s.Controls[0].Feed = "lights"
			s.box(device, "far").run("a", "far", 3)
			power(s, "far")
		}, []string{"needs[0].feed"}, "from which of 2 feeds"},
		{"no feed", func(s *sketch) { s.Feeds = nil }, []string{"supply"}, "no feed"},
		{"a feed of two poles", func(s *sketch) { s.Feeds[0].Poles = 2 }, []string{"feeds[0].poles"}, "more than one pole"},
		{"a run to itself, of no length", func(s *sketch) { s.Runs[1] = intent.Run{From: "a", To: "a"}; s.run("a", "b", 5) }, []string{"runs[1].to", "runs[1].length"}, "to itself"},
		{"a switch in a ceiling box", func(s *sketch) { s.Controls[0].Places[1] = "c" }, []string{"controls[0].places 1"}, "stands in a device box"},
		{"more switches than gangs", func(s *sketch) {
			s.Boxes[1].Gangs = 1
			s.light("l2", "c").control("g2", []string{"l2"}, "a")
		}, []string{"boxes[1].gangs"}, "1 gang and is to hold 2"},
		{"joined commons for three", func(s *sketch) {
			s.box(device, "d").run("b", "d", 4)
			s.Controls[0].Places = append(s.Controls[0].Places, "d")
			s.Controls[0].Schemes = []intent.Scheme{intent.JoinedCommons}
		}, []string{"controls[0].schemes"}, "are for two"},
		{"an exemption that the region has not", func(s *sketch) { s.Exemptions = []intent.Exemption{{Box: "a", By: "open cavity"}} }, []string{"exemptions[0].by"}, `"controls a receptacle", "whole area seen, one has it"`},
		{"all places exempt because they see the whole area", func(s *sketch) {
			s.Exemptions = []intent.Exemption{{Box: "a", By: "whole area seen, one has it"}, {Box: "b", By: "whole area seen, one has it"}}
		}, []string{"controls[0].places"}, "leave one of them out"},
		{"a stock that is too small for the breaker", func(s *sketch) {
			s.Feeds[0].Breaker = 20 * quantity.Ampere
			s.Stock = stock(t, "14/2", "14/3")
		}, []string{"feeds[0].breaker"}, "not for a breaker of 20 A"},
		{"a stock that is too small for the current of a motor", func(s *sketch) {
			l := &s.Lights[0]
			l.Power, l.Kind, l.PowerFactor = 1000*quantity.Watt, wiring.Motor, 50*quantity.Percent // 16.7 A; 8.3 A if in phase
			s.Stock = stock(t, "14/2", "14/3")
		}, []string{"feeds[0].breaker"}, "too much for a breaker of 15 A"},
		{"a light plugged in", func(s *sketch) { s.Lights[0].On = "x" }, []string{"lights[0].on", "lights[0].on", "lights[0].ends"}, ""},
		{"several at once", func(s *sketch) {
			s.Runs[0].Length = 0
			s.Controls[0].Places = append(s.Controls[0].Places, "nowhere")
			s.Feeds[0].Poles = 2
		}, []string{"feeds[0].poles", "runs[0].length", "controls[0].places 2"}, "more than one pole"},
	} {
		t.Run(row.why, func(t *testing.T) {
			s := sound()
			row.change(s)
			p, err := plan.New(context.Background(), s.Intent, us, nil)
			var ps wiring.Problems
			if p != nil || !errors.As(err, &ps) {
				t.Fatalf("%v, %v", p, err)
			}
			var at []string
			for _, x := range ps {
				at = append(at, x.At.String())
			}
			for i := range at {
				at[i] = strings.TrimSuffix(at[i], "[0]")
			}
			if !slices.Equal(at, row.want) && row.says != "" {
				t.Errorf("problems at %v, want %v\n%v", at, row.want, err)
			}
			if !strings.Contains(ps[0].Detail, row.says) {
				t.Errorf("it says %q, want %q in it", ps[0].Detail, row.says)
			}
		})
	}
	s := sound()
	s.Exemptions = []intent.Exemption{{Box: "a", By: "accessible box"}}
	s.Feeds[0].Breaker = 6 * quantity.Ampere
	if _, err := plan.New(context.Background(), s.Intent, uk, nil); err == nil || !strings.Contains(err.Error(), "no exemption") {
		t.Errorf("an exemption in a region without the rule: %v", err)
	}
	if _, err := plan.New(context.Background(), sound().Intent, nil, nil); err == nil {
		t.Error("planned without the rules of a region")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := plan.New(ctx, sound().Intent, us, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("a context that has ended gives %v", err)
	}
}

// A cable that is given and too small is an answer: what it lacks, and what would help.
func TestInfeasible(t *testing.T) {
	us := region(t, "us-2023")
	two := func() *sketch {
		return newSketch("store").box(device, "store", "shed").run("store", "shed", 60).cable("14/3").
			light("store light", "store").light("shed light", "shed").control("outside", []string{"store light", "shed light"}, "store", "shed")
	}
	p, err := plan.New(context.Background(), two().Intent, us, nil)
	if err != nil {
		t.Fatal(err)
	}
	if p.Status != plan.Infeasible || len(p.Lacks) != 1 || p.Lacks[0].Short != 1 || len(p.Lacks[0].Conductors) != 4 || len(p.Spec.Cables) != 0 {
		t.Fatalf("%v %+v", p.Status, p.Lacks)
	}
	var kinds []plan.ChangeKind
	for _, c := range p.Changes {
		kinds = append(kinds, c.Kind)
		q, err := plan.New(context.Background(), c.Intent, us, nil)
		if err != nil || q.Status != plan.Optimal || q.Cost != c.Cost {
			t.Errorf("%s: %v, and it costs %v instead of %v", c.Says, err, q.Cost, c.Cost)
		}
	}
	// Lights at both ends need four, wherever the feed is: only another cable helps.
	if !slices.Contains(kinds, plan.OtherCable) || !slices.Contains(kinds, plan.OtherRaceway) || slices.Contains(kinds, plan.OtherFeed) ||
		slices.Contains(kinds, plan.AllowScheme) || slices.Contains(kinds, plan.Exempt) {
		t.Errorf("changes %v", p.Changes)
	}
	if !slices.IsSortedFunc(p.Changes, func(a, b plan.Change) int { return int(a.Cost - b.Cost) }) {
		t.Error("the cheapest change is not first")
	}

	// A dead end with light and feed at one place lacks only the neutral.
	one := newSketch("up").box(device, "up", "down").run("up", "down", 20).cable("14/3").light("l", "up").control("g", []string{"l"}, "up", "down")
	if p, err = plan.New(context.Background(), one.Intent, us, nil); err != nil || p.Status != plan.Infeasible {
		t.Fatal(p, err)
	}
	found := false
	for _, c := range p.Changes {
		found = found || c.Kind == plan.Exempt && strings.Contains(c.Says, "down")
	}
	if !found {
		t.Errorf("no exemption among %v", p.Changes)
	}
}

// The order of runs, boxes, lights and needs does not change what a plan costs, and
// planning twice gives the same.
func TestOrderDoesNotMatter(t *testing.T) {
	us := region(t, "us-2023")
	rapid.Check(t, func(t *rapid.T) {
		in := request(t, bounds{boxes: 7, feeds: 2, groups: 2, places: 4, needs: 2, rings: true, special: true})
		p, err := plan.New(context.Background(), in, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		again, err := plan.New(context.Background(), in, us, nil)
		if err != nil || shown(p) != shown(again) || p.Cost != again.Cost {
			t.Fatal("planning twice gives two plans")
		}
		other := in
		other.Boxes = rapid.Permutation(in.Boxes).Draw(t, "boxes")
		other.Lights = rapid.Permutation(in.Lights).Draw(t, "lights")
		other.Needs = rapid.Permutation(in.Needs).Draw(t, "needs")
		other.Runs = rapid.Permutation(in.Runs).Draw(t, "runs")
		q, err := plan.New(context.Background(), other, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		// Two circuits may contend for a cable that is given; then who comes first
		// matters by the rule, and the runs decide nothing.
		if p.Status == plan.Optimal && q.Status == plan.Optimal && p.Cost != q.Cost {
			t.Fatalf("%v in one order and %v in another", p.Cost, q.Cost)
		}
	})
}
