package main

import (
	"fmt"
	"strings"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
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
		fmt.Fprintln(d.out, "\nEnded: brittle insulation. Move nothing more; have the wiring judged and replaced.")
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
			fmt.Fprintf(d.out, "%s %v%s\n", lead, p, unlawful(p))
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

// unlawful says what is forbidden or dangerous in how a control is wired, or has to be
// minded in it.
func unlawful(p identify.Plan) string {
	switch {
	case !p.Scheme.Lawful():
		return " (UNLAWFUL and dangerous, whatever it does when flipped)"
	case p.Borrowed():
		return " (BORROWED NEUTRAL: it is live with its own breaker off)"
	case p.JoinedWith != "":
		return " (NEUTRALS OF TWO CIRCUITS JOINED: either is live with its own breaker off)"
	case p.JoinedIn != "":
		return " (the two share the current, and neither cable balances: part them at one end)"
	case p.OneLine:
		return " (OVERLOADED NEUTRAL: it carries the sum of both; stop, and have it put right)"
	case p.Shares != "":
		return " (the neutral is live while either is on: lock out both before you open it)"
	case p.ApartFrom != "":
		return " (its neutral goes with its own hot: never join the two where they lie apart)"
	}
	return ""
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
		if p.Is != identify.Never {
			continue
		}
		f := p.Role.Function
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
	fmt.Fprintln(d.out, "A constant hot and the neutral of one circuit must both be there for that; prove both, and that the\nneutral carries a load, before you rely on it.")
	return nil
}
