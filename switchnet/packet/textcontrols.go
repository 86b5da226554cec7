package packet

import (
	"fmt"
	"slices"
	"strings"
)

func (p *printer) controls(d *Document) {
	p.heading("WHAT EACH CONTROL DOES")
	p.wrap("", "Computed over every setting of every switch, breakers on. Handle words are those of the drawing; which way up a handle stands when a light burns depends on the device and its landing.")
	for _, c := range d.Controls {
		p.line("")
		var places []string
		for _, pl := range c.Places {
			if pl.Kind == "" {
				places = append(places, pl.Box+" (no device called "+c.Name+" there)")
			} else {
				places = append(places, pl.Box+" ("+pl.Kind+")")
			}
		}
		p.wrap(c.Name+": ", strings.Join(c.Lights, ", ")+" from "+strings.Join(places, ", "))
		p.results(&c)
		p.truth(&c)
		if c.Sense != "" {
			p.wrap("  ", c.Sense)
		}
	}
	p.line("")
	switch s := d.Shorts; {
	case s.Problem != "":
		p.wrap("Shorts: ", "not answered: "+s.Problem)
	case s.Example == "":
		p.line("Shorts: none in any of the %s settings of all switches.", s.States)
	default:
		p.wrap("SHORT: ", fmt.Sprintf("in %s of the %s settings of all switches, for one: %s", s.Settings, s.States, s.Example))
		p.wrap("  the rails meet by: ", s.Path)
	}
}

// results prints what becomes of the lights, those that agree together.
func (p *printer) results(c *Control) {
	for i := 0; i < len(c.Results); {
		r := c.Results[i]
		names := []string{r.Light}
		j := i + 1
		for ; j < len(c.Results) && r.agrees(&c.Results[j]); j++ {
			names = append(names, c.Results[j].Light)
		}
		i = j
		lead := "  " + strings.Join(names, ", ") + ": "
		if r.Problem != "" {
			p.wrap(lead, "not answered: "+r.Problem)
			continue
		}
		p.wrap(lead, r.Says)
		if len(r.Exception) > 0 {
			p.line("    two settings that differ in one handle and leave it as it was:")
			for _, e := range r.Exception {
				p.wrap("      ", e)
			}
		}
		for _, l := range r.LiveWhenOff {
			p.wrap("    DANGER: ", l)
		}
	}
}

func (r *Result) agrees(o *Result) bool {
	return r.Says == o.Says && r.Problem == o.Problem && slices.Equal(r.Exception, o.Exception) && slices.Equal(r.LiveWhenOff, o.LiveWhenOff)
}

// truthLimit is the largest table printed whole where a sentence says as much.
const truthLimit = 8

// truth prints the truth table. Where every place changes every light, one setting
// and that sentence say all of a long one; otherwise the settings in which nothing
// is lit are left out of a long one.
func (p *printer) truth(c *Control) {
	if len(c.Table) == 0 {
		return
	}
	every, same := true, true
	for i := range c.Results {
		every = every && c.Results[i].EveryPlace
	}
	for _, s := range c.Table {
		for _, l := range s.Lights {
			same = same && l == s.Lights[0]
		}
	}
	show := func(lights []string) string {
		if same && len(lights) > 1 {
			return "all " + lights[0]
		}
		return strings.Join(lights, ", ")
	}
	first := c.Table[0]
	if every && len(c.Table) > truthLimit {
		p.wrap("  ", fmt.Sprintf("With every handle %s: %s. Moving any one handle, from any setting, changes that.", both(first.Handles), show(first.Lights)))
		return
	}
	head := []string{}
	for _, pl := range c.Places {
		head = append(head, pl.Box)
	}
	title := strings.Join(c.Lights, ", ")
	if same && len(c.Lights) > 1 {
		title = "lights"
	}
	rows := [][]string{append(head, title)}
	dark := 0
	for _, s := range c.Table {
		if len(c.Table) > truthLimit && !slices.ContainsFunc(s.Lights, func(l string) bool { return l != "unlit" }) {
			dark++
			continue
		}
		rows = append(rows, append(append([]string{}, s.Handles...), show(s.Lights)))
	}
	p.table("    ", rows)
	if dark > 0 {
		p.line("    %s in the other %d settings", show(slices.Repeat([]string{"unlit"}, len(c.Lights))), dark)
	}
}

// both returns the handles' position in a word if it is one, or all of them.
func both(handles []string) string {
	if len(slices.Compact(slices.Clone(handles))) == 1 {
		return handles[0]
	}
	return strings.Join(handles, ", ")
}
