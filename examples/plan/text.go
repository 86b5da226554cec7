package main

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet/plan"
)

// width is the column at which text is wrapped.
const width = 96

// printer writes lines; the first error sticks and is returned by flush.
type printer struct{ w *bufio.Writer }

func (p printer) line(format string, args ...any) { fmt.Fprintf(p.w, format+"\n", args...) }

// wrap prints words after lead, further lines indented to where the words began.
func (p printer) wrap(lead, format string, args ...any) {
	in := utf8.RuneCountInString(lead)
	column := in
	p.w.WriteString(lead)
	for i, word := range strings.Fields(fmt.Sprintf(format, args...)) {
		n := utf8.RuneCountInString(word)
		switch {
		case i > 0 && column+1+n > width:
			p.w.WriteString("\n" + strings.Repeat(" ", in))
			column = in
		case i > 0:
			p.w.WriteByte(' ')
			column++
		}
		p.w.WriteString(word)
		column += n
	}
	p.w.WriteByte('\n')
}

func (p printer) heading(text string) { p.line("\n%s\n%s", text, strings.Repeat("=", width)) }

// table prints rows with their columns lined up; the last column is wrapped.
func (p printer) table(indent string, rows [][]string) {
	var widths []int
	for _, row := range rows {
		for i, cell := range row[:len(row)-1] {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		lead := indent
		for i, cell := range row[:len(row)-1] {
			lead += cell + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)) + "  "
		}
		p.wrap(lead, "%s", row[len(row)-1])
	}
}

func (r *report) write(out io.Writer) error {
	p := printer{bufio.NewWriter(out)}
	p.line("%s: plan", r.Title)
	r.Region.Write(p.w, false)
	r.verdict(p)
	for _, n := range r.Notes {
		p.wrap("  note: ", "%s", n)
	}
	p.line("")
	if err := cautions.Write(p.w, width); err != nil {
		return err
	}
	if !r.Status.OK() {
		r.lacks(p)
		r.changes(p)
		return p.w.Flush()
	}
	r.changed(p)
	r.schedule(p)
	r.orders(p)
	r.boxes(p)
	r.full(p)
	p.line("")
	p.wrap("", "Not in this plan: voltage drop, and where each conductor lands. The packet has them: go run ./examples/packet.")
	return p.w.Flush()
}

// verdict says what the plan is worth.
func (r *report) verdict(p printer) {
	const family = "(single switches, chains and, where a control allows them, joined commons; each cable carrying back what it carries out)"
	if r.Again != nil {
		sheets := "no box sheet changes"
		if n := len(r.Again.Boxes); n > 0 {
			const most = 12
			var names []string
			for _, b := range r.Again.Boxes[:min(n, most)] {
				names = append(names, b.Box)
			}
			sheets = count(n, "box sheet changes", "box sheets change") + ": " + strings.Join(names, ", ")
			if n > most {
				sheets += fmt.Sprintf(" and %d more", n-most)
			}
		}
		p.wrap("", "Planned again after %s, keeping what has room; %s.", r.Again.After, sheets)
	}
	switch r.Status {
	case plan.Infeasible:
		if !slices.ContainsFunc(r.Lacks, func(l plan.Lack) bool { return !l.Unusable }) && len(r.Lacks) > 0 {
			p.wrap("", "CANNOT BE DONE as asked: a cable that is given cannot be used.")
			break
		}
		p.wrap("", "CANNOT BE DONE as asked: a run has room for too few conductors, in every order of the places.")
	case plan.NoneFound:
		p.wrap("", "NONE FOUND: in all that was tried a run has room for too few conductors. There may be a plan all the same: a larger -limit searches longer.")
	case plan.Optimal:
		p.wrap("", "Optimal: %s. No plan of this kind costs less %s.", r.money(r.Cost), family)
	case plan.BestFound:
		if r.Again != nil && r.Again.Saving != "0" && !strings.HasPrefix(r.Again.Saving, "-") {
			p.wrap("", "It costs %s. Planned anew, keeping nothing, it would cost %s less.", r.money(r.Cost), rounded(r.Again.Saving, nearest))
			break
		}
		p.wrap("", "Best found: %s. No plan of this kind costs less than %s, so this one costs at most %s more than the best %s. A larger -limit searches longer.",
			r.money(r.Cost), rounded(r.Bound, down), rounded(r.gap, up), family)
	}
	if n := len(r.Full); n > 0 {
		p.wrap("", "TOO SMALL for it: %s; see the end.", count(n, "box", "boxes"))
	}
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// changed lists the boxes whose sheets change.
func (r *report) changed(p printer) {
	if r.Again == nil || len(r.Again.Boxes) == 0 {
		return
	}
	p.heading("BOXES WHOSE SHEETS CHANGE")
	for _, b := range r.Again.Boxes {
		p.line("%s", b.Box)
		for _, s := range b.Was {
			p.wrap("    was: ", "%s", r.speak(s))
		}
		for _, s := range b.Is {
			p.wrap("    is:  ", "%s", r.speak(s))
		}
	}
}

func (r *report) schedule(p printer) {
	p.heading("CABLES, AND WHY EACH CONDUCTOR IS THERE")
	for _, c := range r.Cables {
		p.line("%s  %s  %s to %s, %s: %s", c.Name, c.Type, c.From, c.To, c.Length, r.money(c.Cost))
		p.wrap("    ", "%s", c.Why)
		r.conductors(p, c.Conductors)
	}
	if len(r.Cables) == 0 {
		p.line("None.")
		return
	}
	var rows [][]string
	for _, m := range r.Material {
		rows = append(rows, []string{m.Type, m.Length.String()})
	}
	if len(rows) == 0 {
		p.line("\nNothing to pull: every cable lies there already.")
		return
	}
	p.line("\nTo pull, by the lengths of the runs, without slack, tails or waste:")
	p.table("  ", rows)
}

func (r *report) conductors(p printer, list []plan.Conductor) {
	var rows [][]string
	for _, k := range list {
		colour := k.Colour
		if k.Marked != "" {
			colour += " marked " + k.Marked
		}
		rows = append(rows, []string{colour, r.speak(k.Does), r.speak(k.Why)})
	}
	p.table("      ", rows)
}

func (r *report) orders(p printer) {
	p.heading("CONTROLS: WHAT STANDS WHERE, FROM THE HOT TO THE " + strings.ToUpper(r.speak("switch leg")))
	if len(r.Controls) == 0 {
		p.line("None.")
	}
	for _, c := range r.Controls {
		var stops []string
		for _, s := range c.Order {
			stops = append(stops, s.Box+" ("+r.speak(s.Kind)+")")
		}
		p.wrap(c.Name+", "+c.Scheme+": ", "%s", strings.Join(stops, ", "))
		if len(c.Order) < 2 {
			continue
		}
		if len(c.Next) == 0 {
			p.line("    next best: no other was compared")
		}
		for _, n := range c.Next {
			p.wrap("    next best: ", "%s", r.alternative(&c, &n))
		}
	}
}

func (r *report) alternative(c *control, n *alternative) string {
	text := strings.Join(n.Order, ", ")
	if n.Scheme.String() != c.Scheme {
		text = n.Scheme.String() + ", " + text
	}
	switch {
	case n.Lacks > 0:
		return fmt.Sprintf("%s: not possible, %s too many for the runs", text, count(n.Lacks, "conductor", "conductors"))
	case n.More == "0":
		return text + ": costs the same"
	case strings.HasPrefix(n.More, "-"):
		return text + ": " + r.money(n.More[1:]) + " less"
	}
	return text + ": " + r.money(n.More) + " more"
}

func (r *report) boxes(p printer) {
	p.heading("BOXES: WHAT STANDS IN EACH AND WHAT CAN BE USED THERE")
	for _, b := range r.Boxes {
		lead := b.Name + " (" + b.Kind
		if b.Gangs > 0 {
			lead += ", " + count(b.Gangs, "gang", "gangs")
		}
		var stands []string
		for _, d := range b.Devices {
			stands = append(stands, d.Control+" "+r.speak(d.Kind))
		}
		p.wrap(lead+"): ", "%s", cmp.Or(strings.Join(stands, ", "), "no switch"))
		var rows [][]string
		for _, l := range []struct {
			what string
			has  []string
		}{{"constant hot", told(b.Hots)}, {"neutral", told(b.Neutrals)}, {r.speak("switch leg"), b.Legs}, {"spare", b.Spares}} {
			if len(l.has) > 0 {
				rows = append(rows, []string{l.what, strings.Join(l.has, ", ")})
			}
		}
		p.table("    ", rows)
		for _, s := range b.Says {
			p.wrap("    > ", "%s", r.speak(s))
		}
	}
}

func (r *report) full(p printer) {
	if len(r.Full) == 0 {
		return
	}
	p.heading("BOXES THAT ARE TOO SMALL")
	for _, f := range r.Full {
		fits := "no box of the region's stock holds it either"
		if n := len(f.Fits); n > 0 {
			const most = 3
			fits = "of the region's stock these hold it, smallest first: " + strings.Join(f.Fits[:min(n, most)], ", ")
			if n > most {
				fits += fmt.Sprintf(" and %d more", n-most)
			}
		}
		if len(f.Uncut) > 0 {
			fits += fmt.Sprintf("; or pull %s past it uncut, and %s is needed", strings.Join(f.Uncut, " and "), f.Otherwise)
		}
		p.wrap(f.Box+": ", "%s needed, %s there; %s", f.Required, f.Available, fits)
	}
	for _, c := range r.Changes {
		p.wrap("or ", "%s: then the cable costs %s (write \"if needed: yes\" at the run and plan again)", c.Says, r.money(c.Cost))
	}
}

func (r *report) lacks(p printer) {
	p.heading("WHAT THERE IS NO ROOM FOR")
	const most = 20
	for _, l := range r.Lacks[:min(len(r.Lacks), most)] {
		short := count(l.Short, "conductor", "conductors") + " short"
		if l.Unusable {
			short = "its cable cannot be used"
		}
		p.wrap("", "%s to %s, feed %s: %s", l.From, l.To, l.Feed, short)
		p.wrap("    ", "%s", l.Why)
		var rows [][]string
		for _, k := range l.Conductors {
			rows = append(rows, []string{r.speak(k.Does), r.speak(k.Why)})
		}
		p.table("      ", rows)
	}
	if n := len(r.Lacks); n > most {
		p.line("And %s; -json lists all.", count(n-most, "run more", "runs more"))
	}
}

func (r *report) changes(p printer) {
	p.heading("THE NEAREST CHANGES THAT WOULD DO, CHEAPEST FIRST")
	for i, c := range r.Changes {
		there := ""
		switch {
		case c.Unknown:
			there = ", and what brings the feed there besides"
		case c.Beside != "":
			there = ", " + rounded(c.Beside, nearest) + " of it to bring the feed there"
		}
		p.wrap(fmt.Sprintf("  %d. ", i+1), "%s: then the cable costs %s%s", c.Says, r.money(c.Cost), there)
	}
	if len(r.Changes) == 0 {
		p.wrap("", "No single change of those that were tried does: another scheme, another cable or a raceway on the runs named above, another box for the feed, a run that is there only if needed, an exemption from the neutral, one need less.")
	}
}
