package main

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// verdict says what is left, so many groups of it at most.
func (d *sorter) verdict(most int) {
	v := d.s.Verdict(most)
	switch v.Status {
	case trace.Found:
		fmt.Fprintln(d.out, "\nOne group is left:")
	case trace.Contradiction:
		fmt.Fprintln(d.out, "\nNothing that was reckoned with gives all of this. The nearest:")
	case trace.Ended:
		fmt.Fprintln(d.out, "\nEnded: brittle insulation. Move nothing more, leave every circuit locked out, and have the wiring\njudged and replaced.")
		return
	default:
		fmt.Fprintf(d.out, "\n%s fit, the likeliest first:\n", count(v.Classes, "group"))
	}
	log := d.s.Log()
	for _, f := range v.Fits[:min(len(v.Fits), most)] {
		for i, p := range f.Plans {
			lead := "       "
			if i == 0 {
				lead = fmt.Sprintf("%6s ", percent(f.Likely))
			}
			fmt.Fprintf(d.out, "%s %s\n", lead, planned(p))
			for _, danger := range dangers(p) {
				fmt.Fprintln(d.out, wrapped(danger, 10))
			}
		}
		for _, w := range f.Cables {
			fmt.Fprintf(d.out, "          %v\n", w)
		}
		if v.Status == trace.Found || f.Likely >= allButCertain {
			for _, u := range f.Ends {
				fmt.Fprintf(d.out, "          %v\n", u)
			}
		}
		for _, n := range f.Against {
			fmt.Fprintf(d.out, "          does not fit: %v\n", log[n])
		}
	}
	if n := v.Classes - len(v.Fits); n > 0 {
		fmt.Fprintf(d.out, "        and %d more; \"fits %d\" lists more\n", n, v.Classes)
	}
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
		fmt.Fprintf(d.out, "  %v\n", u)
	}
	fmt.Fprintln(d.out)
	for _, c := range in.Controls {
		fmt.Fprintf(d.out, "  %v\n", c)
	}
	fmt.Fprintln(d.out, "A constant hot and the neutral of one circuit must both be there for that. Before anybody relies on\nit, both have to be proven, and that the neutral carries a load: that is live work, for a qualified\nperson. Until then treat every conductor as live.")
	return nil
}
