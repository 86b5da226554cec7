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

// trouble names on the cover what the sheets find wrong or cannot tell.
func (p *printer) trouble(d *Document) {
	var small, open, unproven, live []string
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
			p.wrap("WRONG: ", what+": "+strings.Join(names, ", "))
		}
	}
	if len(open) > 0 {
		p.wrap("OPEN: ", "whether these boxes hold what is in them, see their sheets: "+strings.Join(open, ", "))
	}
	say("what is in these boxes does not fit them, see their sheets", small)
	say("these lights do not obey every place, see what each control does", unproven)
	say("these lights can be live while they are dark", live)
	if d.Shorts.Example != "" {
		p.line("WRONG: there are settings with a SHORT, see what each control does")
	}
	for _, c := range d.Circuits {
		if c.Problem == "" && c.Status != conductor.Fits.String() {
			p.wrap("WRONG: ", "circuit "+c.Feed+": "+c.Status+", see sizing")
		}
	}
}

func (p *printer) cautions(d *Document) {
	p.line("")
	p.line("%s", strings.ToUpper(cautions.Heading))
	for i, c := range d.Cautions {
		p.wrap(fmt.Sprintf("  %d. ", i+1), c)
	}
}
