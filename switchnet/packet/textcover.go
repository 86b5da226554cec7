package packet

import (
	"fmt"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
	"example.com/switchleg/internal/cautions"
)

func (p *printer) cover(d *Document) {
	p.line("%s: job packet", d.Title)
	p.wrap("", "Figures by "+d.Region.ID+", "+d.Region.Title+". "+d.Region.Source)
	for _, c := range d.Region.Cautions {
		p.wrap("  - ", c)
	}
	for _, n := range d.Notes {
		p.wrap("Note: ", n)
	}
	p.trouble(d)
	p.cautions(d)
}

// trouble prints on the cover what the sheets find wrong or cannot tell.
func (p *printer) trouble(d *Document) {
	all := trouble(d)
	if d.Proving != nil {
		if said := hazards(d.Proving.Findings); said != "" {
			all = append([]string{said}, all...)
		}
	}
	for _, t := range all {
		lead, words, _ := strings.Cut(t, " ")
		p.wrap(lead+" ", words)
	}
}

// trouble says what the sheets find wrong or cannot tell, each in a sentence that
// begins with WRONG:, OPEN: or AGAINST ADVICE:.
func trouble(d *Document) []string {
	var small, open, unproven, live, out []string
	for i := range d.Boxes {
		switch b := &d.Boxes[i]; {
		case b.Fill == nil || b.Fill.Status.OK():
		case b.Fill.Status == boxfill.DoesNotFit:
			small = append(small, b.Name)
		default:
			open = append(open, b.Name)
		}
	}
	for _, c := range d.Controls {
		for _, r := range c.Results {
			if r.Problem == "" && !r.EveryPlace {
				unproven = append(unproven, r.Light)
			}
			if len(r.LiveWhenOff) > 0 {
				live = append(live, r.Light)
			}
		}
	}
	say := func(what string, names []string) {
		if len(names) > 0 {
			out = append(out, what+": "+strings.Join(names, ", "))
		}
	}
	say("OPEN: whether these boxes hold what is in them, see their sheets", open)
	say("WRONG: what is in these boxes does not fit them, see their sheets", small)
	say("WRONG: these lights do not obey every place, see what each control does", unproven)
	say("WRONG: these lights can be live while they are dark", live)
	if d.Shorts.Example != "" {
		out = append(out, "WRONG: there are settings with a SHORT, see what each control does")
	}
	for _, c := range d.Circuits {
		if c.Problem == "" && c.Status != conductor.Fits.String() {
			out = append(out, "WRONG: circuit "+c.Feed+": "+c.Status+", see sizing")
		}
		for _, a := range c.Advice {
			out = append(out, "AGAINST ADVICE: circuit "+c.Feed+": "+a)
		}
	}
	return out
}

func (p *printer) cautions(d *Document) {
	p.line("")
	p.line("%s", strings.ToUpper(cautions.Heading))
	for i, c := range d.Cautions {
		p.wrap(fmt.Sprintf("  %d. ", i+1), c)
	}
}
