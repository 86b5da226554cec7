package wiring

import "example.com/switchleg/conductor/quantity"

// An Entry is what was measured where a cable comes into a box. The zero Entry says
// nothing.
type Entry struct {
	// Support is the distance from the box to the first support of the cable, straight,
	// and Along the same along its sheath, which is not less; 0 means not stated.
	Support, Along quantity.Length
	// Sheath is how far the sheath reaches into the box, if SheathStated; it may end at
	// the wall of the box, or before.
	Sheath       quantity.Length
	SheathStated bool
	// Free is how far the conductors reach from where the sheath or the raceway ends;
	// 0 means not stated.
	Free quantity.Length
}

// Turned returns the cable with its ends exchanged: the same cable, written down from its
// other end. One with an unknown end is returned as it is.
func (c Cable) Turned() Cable {
	if c.To != "" {
		c.From, c.To = c.To, c.From
		c.Entries[0], c.Entries[1] = c.Entries[1], c.Entries[0]
	}
	return c
}

// entryFields are the fields of the entries, in the words of the job file.
var entryFields = [2]string{"from end", "to end"}

// readEntries checks what was measured at the ends of a cable.
func (x *index) readEntries(i int) {
	c := &x.spec.Cables[i]
	if c.Apart < 0 || c.Apart > maxLength {
		x.add(Ref{"cables", i, "supports apart"}, nil, "the supports of cable %q are %v apart; that is above zero and not above %v, and 0 if it is not stated", c.Name, c.Apart, maxLength)
	}
	longer := func(d quantity.Length) bool { return c.Length > 0 && d > c.Length && d <= maxLength }
	if longer(c.Apart) {
		x.add(Ref{"cables", i, "supports apart"}, nil, "the supports of cable %q are %v apart, and the whole cable is %v long", c.Name, c.Apart, c.Length)
	}
	for e, v := range c.Entries {
		if v == (Entry{}) {
			continue
		}
		at := Ref{"cables", i, entryFields[e]}
		box := c.From
		if e == 1 {
			box = c.To
		}
		if box == "" {
			x.add(at, nil, "the end of cable %q is measured, and its box is not known", c.Name)
			continue
		}
		for _, q := range []struct {
			what   string
			length quantity.Length
		}{{"its first support is %v away", v.Support}, {"its first support is %v away along it", v.Along}, {"its sheath reaches %v into it", v.Sheath},
			{"its conductors reach %v", v.Free}} {
			if q.length < 0 || q.length > maxLength {
				x.add(at, nil, "cable %q at box %q: "+q.what+"; that is not below zero and not above %v", c.Name, box, q.length, maxLength)
			}
		}
		if d := max(v.Support, v.Along); longer(d) {
			x.add(at, nil, "cable %q at box %q: its first support is %v away, and the whole cable is %v long", c.Name, box, d, c.Length)
		}
		if d := max(v.Sheath, 0) + max(v.Free, 0); longer(d) {
			x.add(at, nil, "cable %q at box %q: its sheath and conductors reach %v from there, and the whole cable is %v long", c.Name, box, d, c.Length)
		}
		if v.Along != 0 && v.Along < v.Support {
			x.add(at, nil, "cable %q at box %q: its first support is %v away and %v along it; it cannot be shorter along the cable than straight", c.Name, box, v.Support, v.Along)
		}
		if v.Sheath != 0 && !v.SheathStated {
			x.add(at, nil, "cable %q at box %q: its sheath reaches %v into it, and is said not to be stated", c.Name, box, v.Sheath)
		}
	}
}
