package packet

import "fmt"

// ringTable is the tests of one box, or those from end to end of cables.
type ringTable struct {
	Box   string // empty: from box to box
	Rings []Ring
}

// ringTables sorts a list, which is in order, into tables.
func ringTables(all []Ring) []ringTable {
	var out []ringTable
	for i, r := range all {
		box := r.From.Box
		if r.To.Box != box {
			box = ""
		}
		if i == 0 || out[len(out)-1].Box != box {
			out = append(out, ringTable{Box: box})
		}
		t := &out[len(out)-1]
		t.Rings = append(t.Rings, r)
	}
	return out
}

// proving writes what was found, the ring-out list, the checklist and the walks.
func (p *printer) proving(d *Document) {
	v := d.Proving
	if v == nil {
		return
	}
	p.findings(v)
	p.heading("RING-OUT LIST, BEFORE COVER")
	p.wrap("", "While the wall is open: every splice made, every other end apart, no device or light fitted, the supply not connected. Prove it dead all the same; zero the ohmmeter on its leads. A value other than the expected one: stop, and find out why.")
	if v.RingProblem != "" {
		p.wrap("", "Not listed: "+v.RingProblem+".")
	}
	for _, t := range ringTables(v.Rings) {
		p.line("")
		if t.Box != "" {
			p.line("In %s", t.Box)
		} else {
			p.line("End to end, with a long lead")
		}
		var rows [][]string
		for _, r := range t.Rings {
			from, to := r.From.Wire, r.To.Wire
			if t.Box == "" {
				from, to = from+" in "+r.From.Box, to+" in "+r.To.Box
			}
			rows = append(rows, []string{"[ ]", from, to, r.Want.String()})
		}
		p.table("  ", rows)
	}
	p.energizing(v)
	p.heading("PROVING WALK")
	p.readings(&v.Readings)
	p.line("")
	p.line("The walk")
	p.wrap("", "After the checklist above, circuits on, every box closed. Begin wherever the handles stand and see what every light does. Each flip must change all lights that its switch controls, fully, and no other. Should the breaker open: leave it off, lock out, go back to dead tests.")
	for _, w := range v.Walks {
		p.line("")
		name := "The whole job"
		if w.Control != "" {
			name = w.Control
		}
		says := fmt.Sprintf("%d flips; %s", len(w.Flips), w.Says)
		if w.Shortest {
			says += ", and no shorter one does"
		}
		p.wrap(name+": ", says+".")
		var rows [][]string
		for i, f := range w.Flips {
			rows = append(rows, []string{"[ ]", fmt.Sprint(i + 1), f.Box, f.Device})
		}
		p.table("  ", rows)
	}
	if len(v.Walks) == 0 {
		p.line("No switch controls a light.")
	}
}

// readings writes the readings that go with the walk.
func (p *printer) readings(v *Readings) {
	p.line("Readings for what no flip shows")
	p.wrap("", v.says())
	if len(v.Readings) > 0 {
		p.wrap("", readingsFirst)
	}
	for _, t := range v.tables() {
		p.line("")
		if t.First {
			p.wrap("", readingsLift)
		}
		title := "In " + t.Box
		if t.Box == "" {
			title = "From box to box, with a long lead"
		}
		if t.Lifted {
			title += ", neutrals lifted"
		}
		p.line("%s", title)
		var rows [][]string
		for _, r := range t.Readings {
			from, to := r.From.Wire, r.To.Wire
			if t.Box == "" {
				from, to = from+" in "+r.From.Box, to+" in "+r.To.Box
			}
			rows = append(rows, []string{"[ ]", from, to, r.Expect()})
		}
		p.table("  ", rows)
	}
	if len(v.Hidden) > 0 {
		p.line("")
		p.line("No such reading shows these; look at each place:")
		for _, h := range v.Hidden {
			p.wrap("  - ", h)
		}
	}
}
