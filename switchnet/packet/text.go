package packet

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/switchleg/boxfill"
)

// width is the column at which text is wrapped.
const width = 96

// WriteText writes the packet for people. The text is not stable.
func WriteText(w io.Writer, d *Document) error {
	if d == nil {
		return errNoDocument
	}
	p := newPrinter(w)
	p.cover(d)
	p.schedule(d)
	for i := range d.Boxes {
		p.box(d, i)
	}
	d.TakeOff.write(p)
	p.controls(d)
	p.circuits(d)
	p.proving(d)
	return p.flush()
}

// printer writes lines; the first error sticks and is returned by flush.
type printer struct{ w *bufio.Writer }

func newPrinter(w io.Writer) *printer { return &printer{bufio.NewWriter(w)} }

func (p *printer) flush() error { return p.w.Flush() }

func (p *printer) line(format string, args ...any) {
	p.w.WriteString(printable(fmt.Sprintf(format, args...)))
	p.w.WriteByte('\n')
}

// printable returns a text with a sign in place of each character that a terminal or a
// reader does something else with than show it: control characters, and those that show
// text in another order than it is in.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
			return unicode.ReplacementChar
		}
		return r
	}, s)
}

// wrap prints words after lead, further lines indented to where the words began, or
// a little deeper than the lead where it is long.
func (p *printer) wrap(lead, words string) {
	in := utf8.RuneCountInString(lead)
	if in > width/3 {
		in = len(lead) - len(strings.TrimLeft(lead, " ")) + 4
	}
	p.hang(lead, words, in)
}

// hang prints words after lead, further lines indented by in.
func (p *printer) hang(lead, words string, in int) {
	column := utf8.RuneCountInString(lead)
	p.w.WriteString(printable(lead))
	for i, word := range strings.Fields(words) {
		word = printable(word)
		n := utf8.RuneCountInString(word)
		if i > 0 && column+1+n > width {
			p.w.WriteString("\n" + strings.Repeat(" ", in))
			column = in
		} else if i > 0 {
			p.w.WriteByte(' ')
			column++
		}
		p.w.WriteString(word)
		column += n
	}
	p.w.WriteByte('\n')
}

func (p *printer) heading(text string) {
	p.line("")
	p.line("%s", text)
	p.line("%s", strings.Repeat("=", width))
}

// table prints rows with their columns lined up, those left out in which nothing stands. The
// last column is wrapped, on lines of its own where the others leave it little room.
func (p *printer) table(indent string, rows [][]string) {
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
			if widths[i] == 0 {
				continue
			}
			lead += cell + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)) + "  "
		}
		if row[len(row)-1] == "" {
			p.line("%s", strings.TrimRight(lead, " "))
			continue
		}
		if in := utf8.RuneCountInString(lead); in <= width-20 {
			p.hang(lead, row[len(row)-1], in)
			continue
		}
		// No room beside it.
		p.line("%s", strings.TrimRight(lead, " "))
		p.wrap(indent+strings.Repeat(" ", 8), row[len(row)-1])
	}
}

func (p *printer) schedule(d *Document) {
	p.heading("CABLE SCHEDULE")
	for _, c := range d.Cables {
		length := c.Length.String()
		if c.Length == 0 {
			length = "length not known"
		}
		p.line("%s  %s  %s to %s, %s", c.Name, c.Type, c.From, known(c.To), length)
		var rows [][]string
		for _, k := range c.Conductors {
			says := k.Says
			if k.Marked != "" {
				says += " (marked " + k.Marked + ")"
			}
			if k.Open {
				says += " (open along the run)"
			}
			rows = append(rows, []string{k.Colour, says})
		}
		p.table("      ", rows)
	}
}

func known(box string) string {
	if box == "" {
		return "a box not known"
	}
	return box
}

// wire returns "C4.red", with its marking.
func (e End) wire() string {
	if e.Marked != "" {
		return e.Wire + " marked " + e.Marked
	}
	return e.Wire
}

// tag returns the tag of an end as it is to be looked for.
func (e End) tag() string {
	if e.Tag == "" {
		return ""
	}
	return `"` + e.Tag + `"`
}

func (p *printer) box(d *Document, box int) {
	b := &d.Boxes[box]
	p.heading("BOX " + b.Name)
	facts := []string{b.Kind}
	if b.Gangs > 0 {
		facts = append(facts, plural(b.Gangs, "gang"))
	}
	for _, s := range []string{b.Room, b.Location} {
		if s != "" {
			facts = append(facts, s)
		}
	}
	p.wrap("", strings.Join(facts, "; "))
	off := "nothing, for no feed reaches it; prove it dead all the same"
	if len(b.Breakers) > 0 {
		off = strings.Join(b.Breakers, ", ")
	}
	p.wrap("To switch off and lock out, as drawn: ", off)
	if b.Danger != "" {
		p.wrap("DANGER: ", b.Danger)
	}
	if d.Proving != nil {
		p.wrong(foundIn(b.Name, d.Proving.Findings), d.Proving.FindingsProblem)
	}
	for _, s := range b.Placing() {
		p.wrap("", s)
	}
	if s := b.DoorWarning(); s != "" {
		p.wrap("WARNING: ", s)
	}
	if len(b.Cables) > 0 {
		var in []string
		for _, c := range b.Cables {
			text := fmt.Sprintf("%s (%s, other end in %s", c.Name, c.Type, known(c.Toward))
			if c.NailPlates > 0 {
				text += ", " + plural(c.NailPlates, "nail plate") + " on its way"
			}
			in = append(in, text+")")
		}
		p.wrap("Cables: ", strings.Join(in, ", "))
	}
	if len(b.Splices) > 0 {
		p.line("")
		p.line("Rough-in: splices")
		for _, s := range b.Splices {
			var with []string
			for _, e := range s.Ends {
				with = append(with, e.wire())
			}
			with = append(with, s.Leads...)
			p.wrap(fmt.Sprintf("  [ ]  %d  ", s.Number), strings.Join(with, ", "))
			if s.Says != "" {
				p.wrap("          ", s.Says)
			}
			for _, e := range s.Ends {
				if e.Tag != "" {
					p.wrap("          ", e.Wire+" tagged "+e.tag())
				}
			}
		}
	}
	for _, a := range b.Apart {
		p.wrap("  > ", a)
	}
	if s := b.Standing(); s != "" {
		p.line("")
		p.wrap("", s)
	}
	for _, d := range b.Devices {
		p.line("")
		p.line("%s", d.heading())
		var rows [][]string
		for _, t := range d.Terminals {
			rows = append(rows, t.rows(b.Splices)...)
		}
		p.table("  ", rows)
		for _, f := range d.Find {
			p.wrap("  > ", f)
		}
	}
	if len(b.Unused) > 0 {
		p.line("")
		p.line("Not used here")
		var rows [][]string
		for _, u := range b.Unused {
			rows = append(rows, []string{u.wire(), u.Use.String(), u.tag(), u.Says})
		}
		p.table("  ", rows)
	}
	for _, t := range b.Ties {
		p.wrap("TOUCHING: ", t)
	}
	p.fill(b)
}

// heading names a device with its kind, its yoke and the gang in which it stands.
func (d *Device) heading() string {
	text := d.Name + ", " + d.Kind
	if d.Yoke != "" {
		text += ", on yoke " + d.Yoke
	}
	if d.Gang > 0 {
		text += fmt.Sprintf(", gang %d", d.Gang)
	}
	return text
}

// rows are the lines of a terminal: one for each end and pigtail, with a box to tick.
func (t Terminal) rows(splices []Splice) [][]string {
	var rows [][]string
	for _, e := range t.Ends {
		rows = append(rows, []string{"[ ]", t.Name, e.wire(), e.tag(), e.Says})
	}
	for _, n := range t.Pigtails {
		rows = append(rows, []string{"[ ]", t.Name, fmt.Sprintf("from splice %d", n), "", splices[n-1].Says})
	}
	if len(rows) == 0 {
		rows = append(rows, []string{"", t.Name, "nothing", "", ""})
	}
	return rows
}

func (p *printer) fill(b *Box) {
	if b.FillProblem != "" {
		p.line("")
		p.wrap("Box fill: ", b.FillProblem)
	}
	if b.Fill == nil {
		return
	}
	p.line("")
	p.line("Box fill")
	r := b.Fill
	var rows [][]string
	for _, l := range r.Lines {
		what := l.Item.String()
		if l.Name != "" {
			what += " (" + l.Name + ")"
		}
		sum := "nothing"
		if l.Total != 0 {
			sum = fmt.Sprintf("%s x %s = %s", l.Weight, l.Each, l.Total)
		}
		rows = append(rows, []string{fmt.Sprint(l.Count), what, size(l.Size.String()), sum, l.Source.String()})
	}
	for _, l := range r.Room {
		what := l.Item.String()
		if l.Name != "" {
			what += " (" + l.Name + ")"
		}
		rows = append(rows, []string{fmt.Sprint(l.Count), what, "", l.Total.String(), l.Source.String()})
	}
	p.table("  ", rows)
	if r.Status == boxfill.VolumeUnknown {
		p.line("  required %s: %s, read what is marked on the box", r.Required, r.Status)
	} else {
		available, spare := roomOf(r)
		p.line("  required %s, available %s, spare %s: %s", r.Required, available, spare, r.Status)
	}
	for _, f := range r.Refusals {
		p.wrap("  refused: ", f.Why)
	}
	for _, c := range r.Cautions {
		p.wrap("  caution: ", c.Text)
	}
	for _, u := range b.Unstated {
		p.wrap("  note: ", u)
	}
}

func size(s string) string {
	if s == "no size" {
		return ""
	}
	return s
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (p *printer) circuits(d *Document) {
	p.heading("SIZING")
	for _, c := range d.Circuits {
		p.wrap(c.Feed+": ", fmt.Sprintf("breaker %s, %s, load %s; cables %s; smallest conductor %s", c.Breaker, c.Volts, c.Load, strings.Join(c.Cables, ", "), c.Smallest))
		if c.Problem != "" {
			p.wrap("  not sized: ", c.Problem)
			continue
		}
		if c.Farthest != "" {
			p.wrap("  ", fmt.Sprintf("farthest light %s, %s of conductor out and back", c.Farthest, c.Length))
		}
		for _, s := range c.Steps {
			p.wrap("  - ", s)
		}
		for _, n := range c.Notes {
			p.wrap("  note: ", n)
		}
		p.line("  %s", c.Status)
		for _, a := range c.Advice {
			p.wrap("  against advice: ", a)
		}
	}
}
