package job

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet"
)

// The systems of supply that a file can name whatever its region.
var (
	supplyWords = []string{"split-phase", "wye", "single-phase"}
	supplies    = []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}
)

// systems returns the words for the systems of supply, and the systems: those above
// and those of the region under its own names.
func systems(region *rules.Region) ([]string, []switchnet.System) {
	words, values := slices.Clone(supplyWords), slices.Clone(supplies)
	if region == nil {
		return words, values
	}
	for _, s := range region.Wiring.Systems {
		if !slices.Contains(words, s.Name) {
			words, values = append(words, s.Name), append(values, system(s))
		}
	}
	return words, values
}

// system returns a region's system. One that a file can name whatever its region
// goes by its common name.
func system(s rules.System) switchnet.System {
	out := switchnet.System{Name: s.Name, Lines: s.Lines, LineToNeutral: s.Volts, LineToLine: s.Between}
	for _, known := range supplies {
		if out.Name = known.Name; out == known {
			return known
		}
	}
	out.Name = s.Name
	return out
}

// usual returns the system that is usual in a region, and false if the region
// states none.
func usual(region *rules.Region) (switchnet.System, bool) {
	if region == nil || len(region.Wiring.Systems) == 0 {
		return switchnet.System{}, false
	}
	return system(region.Wiring.Systems[0]), true
}

// region reads which rules the job is under, and the supply.
func (r *reader) region(head *entry) {
	f := r.out
	f.Rules = head.need("rules", "the region whose rules hold, such as us-2023")
	if n := head.m.Get("rules"); f.Rules != "" {
		region, err := r.opt.region(f.Rules)
		if err == nil && region == nil {
			err = fmt.Errorf("there are no rules for %q", f.Rules)
		}
		if err != nil {
			head.fail("rules", n, strict.Report{Found: strings.TrimPrefix(err.Error(), "rules: ")})
		}
		f.Region = region
	} else {
		head.spoil("rules")
	}
	supply, stated := usual(f.Region)
	if n := head.m.Get("supply"); n != nil {
		words, values := systems(f.Region)
		supply, stated = word(head, "supply", "a system of supply", words, values), true
	} else if !stated && f.Region != nil {
		head.m.Need("supply", "the system of supply, because the rules of "+f.Rules+" name none: "+join(supplyWords))
	}
	if supply.Lines == 0 {
		// Nothing can be said of the lines the feeds are on.
		head.spoil("supply")
		supply = switchnet.Wye120()
	}
	f.Wiring.Supply = supply
}

// supply writes the supply unless it is the usual one.
func (w *writer) supply(f *fields, s switchnet.System) {
	region, err := w.opt.region(w.f.Rules)
	if err != nil {
		w.fail("%v", err)
		return
	}
	if u, ok := usual(region); ok && u == s {
		return
	}
	words, values := systems(region)
	if i := slices.Index(values, s); i >= 0 {
		f.raw("supply", strict.Quote(words[i]))
		return
	}
	w.fail("the supply %q is none of those that the file can name: %s", s.Name, join(words))
}

// boxType reads a type of box that the region has figures for.
func (r *reader) boxType(e *entry) string {
	return value(e, "type", "a type of box", func(s string) (string, error) {
		if r.out.Region == nil {
			return s, nil
		}
		if r.boxTypes == nil {
			for _, t := range r.out.Region.Box.Boxes {
				r.boxTypes = append(r.boxTypes, t.Name)
			}
		}
		if !slices.Contains(r.boxTypes, s) {
			w := &wrong{found: fmt.Sprintf("the rules of %s have no box %q", r.out.Rules, s), expected: some(r.boxTypes, 0), fix: r.didYouMean(r.boxTypes, s)}
			if w.fix == "" {
				w.fix = "state the volume marked on the box instead"
			}
			return "", w
		}
		return s, nil
	})
}

// roomKind reads the kind of room a box is in, which must be one that the region has a
// rule for: of any other nothing is asked, and a slip of the pen would keep a rule silent.
func (r *reader) roomKind(e *entry) string {
	return value(e, "room", "a kind of room", func(s string) (string, error) {
		if r.out.Region == nil {
			return s, nil
		}
		if r.rooms == nil {
			r.rooms = rooms(r.out.Region)
		}
		if !slices.Contains(r.rooms, s) {
			if len(r.rooms) == 0 {
				return "", &wrong{found: fmt.Sprintf("the rules of %s ask nothing of a room", r.out.Rules), expected: "no room", fix: "say it in the location instead"}
			}
			w := &wrong{found: fmt.Sprintf("the rules of %s have nothing on a room %q", r.out.Rules, s), expected: some(r.rooms, 0), fix: r.didYouMean(r.rooms, s)}
			if w.fix == "" {
				w.fix = "leave it out if it is none of these, and say it in the location"
			}
			return "", w
		}
		return s, nil
	})
}

// rooms returns the kinds of room on which a region has a rule, in name order.
func rooms(region *rules.Region) []string {
	out := []string{}
	for _, p := range region.Wiring.Neutral.Places {
		if p.Name != rules.Anywhere {
			out = append(out, p.Name)
		}
		out = append(out, p.Rooms...)
	}
	out = append(out, region.Wiring.Neutral.Outside...)
	for _, p := range region.Conductor.Protections {
		if p.Location != "" {
			out = append(out, p.Location)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// term returns the built-in kind that a word of the region stands for, or the word
// itself.
func (r *reader) term(s string) string {
	if r.out.Region == nil {
		return s
	}
	t := &r.out.Region.Wiring.Terms
	switch s {
	case "":
	case t.SinglePole.Word:
		return switchnet.SinglePole().Name
	case t.ThreeWay.Word:
		return switchnet.ThreeWay().Name
	case t.FourWay.Word:
		return switchnet.FourWay().Name
	}
	return s
}
