package switchnet

import (
	"cmp"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// A Terminal is a place where metal can be landed: a screw of a device, a lead
// of a load, a rail of the source, or a point such as the end of a conductor in
// a box. It is identified by its three names.
type Terminal struct {
	Place  string // the box or location
	Device string // the device, load, source or cable in that place
	Name   string // which terminal of it
}

// Owner returns the name of the thing the terminal belongs to.
func (t Terminal) Owner() Ref { return Ref{Place: t.Place, Name: t.Device} }

// String returns the names as a person reads them, "stair common at loft". The
// text is for reading and not stable.
func (t Terminal) String() string {
	var parts []string
	for _, p := range []string{t.Device, t.Name} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	s := strings.Join(parts, " ")
	switch {
	case s == "":
		return t.Place
	case t.Place == "":
		return s
	}
	return s + " at " + t.Place
}

// Compare orders terminals by place, device and name.
func (t Terminal) Compare(u Terminal) int {
	return cmp.Or(strings.Compare(t.Place, u.Place), strings.Compare(t.Device, u.Device), strings.Compare(t.Name, u.Name))
}

// A Ref names a device, a load or the source: by its place and its name there.
type Ref struct {
	Place string
	Name  string
}

// String returns "stair at loft". The text is for reading and not stable.
func (r Ref) String() string {
	switch {
	case r.Place == "":
		return r.Name
	case r.Name == "":
		return r.Place
	}
	return r.Name + " at " + r.Place
}

// Compare orders references by place and name.
func (r Ref) Compare(s Ref) int {
	return cmp.Or(strings.Compare(r.Place, s.Place), strings.Compare(r.Name, s.Name))
}

// Terminal returns the named terminal of the thing r names.
func (r Ref) Terminal(name string) Terminal {
	return Terminal{Place: r.Place, Device: r.Name, Name: name}
}

// A Device is something with contacts: a switch, a breaker, a receptacle.
type Device struct {
	Ref
	Kind Kind
}

// String returns "stair at loft, three-way". The text is for reading and not stable.
func (d Device) String() string { return d.Ref.String() + ", " + d.Kind.Name }

// A Load is something that uses power between its two terminals.
type Load struct {
	Ref
	// Ends names its two terminals, "hot" and "neutral" if both are empty.
	Ends [2]string
	// On names the device in the same place whose terminals Ends are: a lamp
	// plugged into a receptacle, a pilot lamp inside a switch. If it is empty
	// the load has terminals of its own.
	On string
	// Rated is the voltage it is made for; 0 means not stated.
	Rated quantity.Voltage
}

// String returns "lamp at loft, between hot and neutral", with the device that it is
// on if it has no terminals of its own. The text is for reading and not stable.
func (l Load) String() string {
	ends := l.Terminals()
	s := l.Ref.String() + ", between " + ends[0].Name + " and " + ends[1].Name
	if l.On != "" {
		s += " of " + l.On
	}
	return s
}

// Terminals returns the terminals of its two ends.
func (l Load) Terminals() [2]Terminal {
	owner, ends := l.Ref, l.Ends
	if ends == [2]string{} {
		ends = [2]string{"hot", "neutral"}
	}
	if l.On != "" {
		owner.Name = l.On
	}
	return [2]Terminal{owner.Terminal(ends[0]), owner.Terminal(ends[1])}
}

// A Conductor joins two terminals for good. Two conductors between the same
// terminals are two edges.
type Conductor struct {
	Name string // unique in the net
	From Terminal
	To   Terminal
}

// A Splice joins any number of terminals for good.
type Splice struct {
	Ref   // unique among the splices of the net
	Joins []Terminal
}

// String returns "hot at loft, joining C1 black at loft and stair common at loft".
// The text is for reading and not stable.
func (s Splice) String() string {
	names := make([]string, len(s.Joins))
	for i, t := range s.Joins {
		names[i] = t.String()
	}
	return s.Ref.String() + ", joining " + strings.Join(names, " and ")
}
