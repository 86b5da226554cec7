package switchnet

import (
	"fmt"
	"iter"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/dense"
	"example.com/switchleg/internal/enum"
)

// A Rail is one conductor of the supply. The zero value is no rail.
type Rail uint8

// The rails, in the order in which this package lists them.
const (
	LineA Rail = iota + 1
	LineB
	LineC
	Neutral
	Ground
)

var railNames = [...]string{"", "line A", "line B", "line C", "neutral", "ground"}

// Rails yields the five rails in their order.
func Rails() iter.Seq[Rail] {
	return func(yield func(Rail) bool) {
		for r := LineA; r <= Ground; r++ {
			if !yield(r) {
				return
			}
		}
	}
}

// String returns the rail's name, which is also the name of its terminal on the
// source: "line A", "line B", "line C", "neutral" or "ground".
func (r Rail) String() string {
	return enum.Word(railNames[:], r, "Rail")
}

// Line reports whether r is a line, as opposed to neutral or ground.
func (r Rail) Line() bool { return r >= LineA && r <= LineC }

// MarshalText writes the rail's name.
func (r Rail) MarshalText() ([]byte, error) {
	if r < LineA || r > Ground {
		return nil, fmt.Errorf("switchnet: %v is not a rail", r)
	}
	return []byte(railNames[r]), nil
}

// UnmarshalText reads a rail's name.
func (r *Rail) UnmarshalText(text []byte) error {
	for rail := range Rails() {
		if rail.String() == string(text) {
			*r = rail
			return nil
		}
	}
	return fmt.Errorf("switchnet: no rail is called %q; the rails are %s", text, strings.Join(railNames[1:], ", "))
}

// bit returns the rail's bit, none for what is no rail.
func (r Rail) bit() dense.Rails {
	if r < LineA || r > Ground {
		return 0
	}
	return 1 << (r - 1)
}

// A RailSet is a set of rails. The zero value is empty.
type RailSet struct{ bits dense.Rails }

// RailsOf returns the set of the given rails; a value that is no rail adds nothing.
func RailsOf(rails ...Rail) RailSet {
	var s RailSet
	for _, r := range rails {
		s.bits |= r.bit()
	}
	return s
}

// With returns the set with one rail more; a value that is no rail adds nothing.
func (s RailSet) With(r Rail) RailSet { return RailSet{s.bits | r.bit()} }

// Has reports whether r is in the set.
func (s RailSet) Has(r Rail) bool { return s.bits&r.bit() != 0 }

// Empty reports whether the set is empty.
func (s RailSet) Empty() bool { return s.bits == 0 }

// All yields the rails in their order: lines, neutral, ground.
func (s RailSet) All() iter.Seq[Rail] {
	return func(yield func(Rail) bool) {
		for r := range Rails() {
			if s.Has(r) && !yield(r) {
				return
			}
		}
	}
}

// Lines returns the lines of the set.
func (s RailSet) Lines() RailSet {
	return RailSet{s.bits & (dense.LineA | dense.LineB | dense.LineC)}
}

// Conflict reports whether the set holds rails of different potential, so that
// joining them is a short. Neutral and ground are at one potential.
func (s RailSet) Conflict() bool { return s.bits.Conflict() }

// String lists the rails, "line A and neutral", or "no rail".
func (s RailSet) String() string {
	var names []string
	for r := range s.All() {
		names = append(names, r.String())
	}
	if len(names) == 0 {
		return "no rail"
	}
	return strings.Join(names, " and ")
}

// MarshalText writes the rails' names with commas between them.
func (s RailSet) MarshalText() ([]byte, error) {
	var names []string
	for r := range s.All() {
		names = append(names, r.String())
	}
	return []byte(strings.Join(names, ",")), nil
}

// UnmarshalText reads what MarshalText writes.
func (s *RailSet) UnmarshalText(text []byte) error {
	*s = RailSet{}
	if len(text) == 0 {
		return nil
	}
	for _, name := range strings.Split(string(text), ",") {
		var r Rail
		if err := r.UnmarshalText([]byte(name)); err != nil {
			return err
		}
		s.bits |= r.bit()
	}
	return nil
}

// A System is what a source supplies: how many lines, and the nominal voltages
// between them.
type System struct {
	// Name is for reading: "120/240 V split phase".
	Name string
	// Lines is 1, 2 or 3.
	Lines int
	// LineToNeutral is the nominal voltage from each line to the neutral and
	// the ground.
	LineToNeutral quantity.Voltage
	// LineToLine is the nominal voltage between two lines; 0 with one line.
	LineToLine quantity.Voltage
}

// SplitPhase returns the 120/240 V single-phase three-wire system with two
// lines.
func SplitPhase() System {
	return System{"120/240 V split phase", 2, 120 * quantity.Volt, 240 * quantity.Volt}
}

// Wye120 returns the 120/208 V four-wire wye system with three lines.
func Wye120() System {
	return System{"120/208 V wye", 3, 120 * quantity.Volt, 208 * quantity.Volt}
}

// SinglePhase230 returns the 230 V single-phase system with one line.
func SinglePhase230() System {
	return System{"230 V single phase", 1, 230 * quantity.Volt, 0}
}

// Has reports whether the system supplies rail r.
func (s System) Has(r Rail) bool {
	return r == Neutral || r == Ground || r.Line() && int(r) <= s.Lines
}

// Between returns the nominal voltage between two rails: 0 between a rail and
// itself and between neutral and ground.
func (s System) Between(a, b Rail) quantity.Voltage {
	switch {
	case a == b || !a.Line() && !b.Line():
		return 0
	case a.Line() && b.Line():
		return s.LineToLine
	}
	return s.LineToNeutral
}

func (s System) validate() string {
	switch {
	case s.Lines < 1 || s.Lines > 3:
		return fmt.Sprintf("has %d lines; a supply has 1, 2 or 3", s.Lines)
	case s.LineToNeutral <= 0:
		return "has no voltage from line to neutral"
	case s.Lines > 1 && s.LineToLine <= 0:
		return "has several lines and no voltage between them"
	case s.Lines == 1 && s.LineToLine != 0:
		return "has one line and a voltage between lines"
	}
	return ""
}

// A Source puts rails on the net. Its terminals are named as the rails are:
// "line A" (and "line B", "line C", as the system has them), "neutral" and
// "ground". The bond between neutral and ground at the service is the source's
// own affair and is not drawn: a neutral joined to a ground anywhere in the net
// is then seen for what it is.
type Source struct {
	Ref
	System System
}

// Rail returns the terminal of a rail.
func (s Source) Rail(r Rail) Terminal { return s.Terminal(r.String()) }
