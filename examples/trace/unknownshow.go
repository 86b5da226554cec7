package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// verdict says what is left, so many groups of it at most.
func (d *sorter) verdict(most int) {
	v := d.s.Verdict(most)
	shown, apart, at := []shownFit{}, setApart(v.Fits), map[string]int{}
	for i, f := range v.Fits {
		block := d.fit(f, apart[i], v.Status)
		k, ok := at[block]
		if !ok {
			k, at[block] = len(shown), len(shown)
			shown = append(shown, shownFit{block: block})
		}
		shown[k].likely += f.Likely
		shown[k].groups++
	}
	slices.SortStableFunc(shown, func(a, b shownFit) int { return cmp.Compare(b.likely, a.likely) })
	likely, blocks := make([]string, len(shown)), make([]string, len(shown))
	for i, s := range shown {
		likely[i], blocks[i] = percent(s.likely), s.block
		if s.groups > 1 {
			blocks[i] += fmt.Sprintf("          (%d groups, which differ in nothing of this)\n", s.groups)
		}
	}
	was := d.shown
	d.shown = strings.Join(blocks, "\n")
	if was == d.shown && v.Status == trace.Searching {
		// Nothing new but how likely they are.
		fmt.Fprintln(d.out)
		wrap(d.out, "", fmt.Sprintf("%s that tests can tell apart %s, the likeliest as before (%s); \"fits\" shows them again.", count(v.Classes, "group"), fits(v.Classes), strings.Join(likely, ", ")))
		return
	}
	switch v.Status {
	case trace.Found:
		fmt.Fprintln(d.out, "\nOne group is left:")
	case trace.Contradiction:
		fmt.Fprintln(d.out, "\nNothing that was reckoned with gives all of this. The nearest:")
	case trace.Ended:
		fmt.Fprintln(d.out, "\n"+endedBrittle)
		return
	default:
		fmt.Fprintf(d.out, "\n%s that tests can tell apart %s, the likeliest first:\n", count(v.Classes, "group"), fits(v.Classes))
	}
	for i, block := range blocks {
		fmt.Fprintf(d.out, "%6s %s", likely[i], block)
	}
	if n := v.Classes - len(v.Fits); n > 0 {
		fmt.Fprintf(d.out, "        and %d more; \"fits %d\" lists more\n", n, v.Classes)
	}
}

// A shownFit is what is shown of a group, or of several of which the same is.
type shownFit struct {
	block  string
	likely quantity.Ratio
	groups int
}

// fits is the verb that goes with so many.
func fits(n int) string {
	if n == 1 {
		return "fits"
	}
	return "fit"
}

// fit says, behind how likely it is, one of some groups: how the controls are wired in it, where the cables go of
// which the job does not say it, and what the conductors are for if that is settled or sets
// it apart from another one.
func (d *sorter) fit(f identify.Fit, apart map[int]bool, status trace.Status) string {
	log := d.s.Log()
	var out strings.Builder
	for k, p := range f.Plans {
		if k > 0 {
			out.WriteString("       ")
		}
		fmt.Fprintf(&out, " %s\n", planned(p))
		for _, danger := range dangers(p) {
			wrap(&out, "          ", danger)
		}
	}
	for _, w := range f.Cables {
		if !d.drawn(w) {
			fmt.Fprintf(&out, "          %v\n", w)
		}
	}
	for k, u := range f.Ends {
		if status == trace.Found || f.Likely >= allButCertain || apart[k] {
			hang(&out, "          ", 14, u.String())
		}
	}
	for _, n := range f.Against {
		fmt.Fprintf(&out, "          does not fit: %v\n", log[n])
	}
	for _, n := range f.Cut {
		fmt.Fprintf(&out, "          a spare that is cut: %v\n", log[n])
	}
	return out.String()
}

// drawn reports whether the job itself says where a cable goes.
func (d *sorter) drawn(w identify.Way) bool {
	return slices.ContainsFunc(d.c.Wiring().Spec().Cables, func(c wiring.Cable) bool {
		return c.Name == w.Cable && c.From != "" && c.To != ""
	})
}

// setApart returns of every group the conductors that tell it from another one that is
// wired alike, by number.
func setApart(fits []identify.Fit) []map[int]bool {
	out := make([]map[int]bool, len(fits))
	alike := map[string][]int{}
	for i, f := range fits {
		out[i] = map[int]bool{}
		key := strings.Join(texts(f.Plans), "\n") + "\n" + strings.Join(texts(f.Cables), "\n")
		alike[key] = append(alike[key], i)
	}
	for _, group := range alike {
		if len(group) < 2 {
			continue
		}
		for k := range fits[group[0]].Ends {
			first := fits[group[0]].Ends[k].String()
			if slices.ContainsFunc(group[1:], func(i int) bool { return fits[i].Ends[k].String() != first }) {
				for _, i := range group {
					out[i][k] = true
				}
			}
		}
	}
	return out
}

// plainly reports whether a neutral is simply that of a feed, and not one that feeds share
// or that is kept apart for some controls. Where the plain one is said to be in a box or not, it
// is said of these too, and that one of them never is would seem to contradict it.
func (d *sorter) plainly(r identify.Role) bool {
	return r.For == "" && slices.ContainsFunc(d.c.Wiring().Spec().Feeds, func(f wiring.Feed) bool { return f.Name == r.Of })
}

// inBox says what is in a box: what is surely there, what may be, and what is not.
func (d *sorter) inBox(box string) error {
	in, err := d.s.In(box)
	if err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\nIn %s when all is wired up:\n", in.Box)
	for _, is := range []identify.Surety{identify.Surely, identify.Possibly} {
		for _, p := range in.Has {
			switch {
			case p.Is != is:
			case p.Role.Function == identify.Ground && is == identify.Possibly:
				// Nothing of it is reckoned with, so a share would say nothing.
				fmt.Fprintf(d.out, "  %v: possibly, until it is proven over a known live source\n", p.Role)
			default:
				fmt.Fprintf(d.out, "  %v\n", p)
			}
		}
	}
	never := map[identify.Function][]string{}
	var order []identify.Function
	for _, p := range in.Has {
		f := p.Role.Function
		if p.Is != identify.Never || f == identify.Neutral && !d.plainly(p.Role) {
			continue
		}
		if never[f] == nil {
			order = append(order, f)
		}
		never[f] = append(never[f], p.Role.Owner())
	}
	for _, f := range order {
		of := ""
		if never[f][0] != "" {
			of = " of " + strings.Join(never[f], ", ")
		}
		fmt.Fprintf(d.out, "  %v%s: never\n", f, of)
	}
	fmt.Fprintln(d.out)
	for _, u := range in.Ends {
		hang(d.out, "  ", 6, u.String())
	}
	fmt.Fprintln(d.out)
	for _, c := range in.Controls {
		fmt.Fprintf(d.out, "  %v\n", c)
	}
	fmt.Fprintln(d.out, "A constant hot and the neutral of one circuit must both be there for that. Before anybody relies on\nit, both have to be proven, and that the neutral carries a load: that is live work, for a qualified\nperson. Until then treat every conductor as live.")
	return nil
}
