package lab

import (
	"fmt"
	"strings"

	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet"
)

// A Verb is a sort of move. The zero Verb is unset.
type Verb uint8

// The verbs, with the text form of their moves.
const (
	Look        Verb = iota + 1 // look: what the lights do
	Flip                        // flip BOX/SWITCH: its handle to the next position
	LockOut                     // lock-out: every breaker off, locked and tagged
	Energize                    // energize: locks off, breakers on
	Reset                       // reset: a breaker that has opened
	ProveDead                   // prove-dead BOX: with a tester proven before and after
	ProvePoint                  // prove POINT: a known live source read over it, to use it as a reference
	Read                        // read POINT POINT: the volts of one point over another, on a tester that loads the circuit
	Continuity                  // continuity POINT POINT: the ohmmeter between two points
	LiftEnd                     // lift POINT: a wire's end off whatever it is on, or everything off a screw
	CapEnd                      // cap WIRE: a cap on a wire's end
	LandEnd                     // land WIRE POINT: a wire's end on a screw
	SpliceEnd                   // splice POINT POINT: a wire's end or a screw's pigtail to another
	Undo                        // undo: the last change of the wiring back
	lastOfVerbs = Undo
)

var verbWords = [...]string{"", "look", "flip", "lock-out", "energize", "reset", "prove-dead", "prove", "read", "continuity", "lift", "cap", "land", "splice", "undo"}

var verbUse = [...]string{"",
	"look: see what the lights do",
	"flip BOX/SWITCH: move its handle to the next position",
	"lock-out: every breaker off, locked and tagged",
	"energize: locks off, breakers on",
	"reset: a breaker that has opened",
	"prove-dead BOX: with a tester proven on a known live source before and after",
	"prove BOX/THING/POINT: read a known live source over a point, to use it as a reference",
	"read BOX/THING/POINT BOX/THING/POINT: the volts of the first over the second, on a tester that loads the circuit",
	"continuity BOX/THING/POINT BOX/THING/POINT: the ohmmeter between two points, everything locked out",
	"lift BOX/THING/POINT: take a wire's end off whatever it is on, or everything off a screw",
	"cap BOX/CABLE/CONDUCTOR: put a cap on a wire's end",
	"land BOX/CABLE/CONDUCTOR BOX/THING/TERMINAL: put a wire's end on a screw",
	"splice BOX/THING/POINT BOX/THING/POINT: join two ends, or an end and the pigtail of a screw",
	"undo: put the last change of the wiring back",
}

// Verbs returns the verbs in their order.
func Verbs() []Verb {
	var out []Verb
	for v := Look; v <= lastOfVerbs; v++ {
		out = append(out, v)
	}
	return out
}

// String returns the word that begins a move's line.
func (v Verb) String() string { return enum.Word(verbWords[:], v, "Verb") }

// Use returns how a move with the verb is written, and what it does.
func (v Verb) Use() string {
	if v >= 1 && v <= lastOfVerbs {
		return verbUse[v]
	}
	return v.String()
}

// MarshalText writes the word; a verb that has none is an error.
func (v Verb) MarshalText() ([]byte, error) { return enum.Marshal("lab", verbWords[:], v, "verb") }

// UnmarshalText reads the word.
func (v *Verb) UnmarshalText(text []byte) error {
	return enum.Unmarshal("lab", verbWords[:], text, "verb", v)
}

// points is how many points a verb's move names, by the number of names in each: 1 for
// a box, 2 for a switch, 3 for a point.
func (v Verb) points() []int {
	switch v {
	case Flip:
		return []int{2}
	case ProveDead:
		return []int{1}
	case ProvePoint, LiftEnd, CapEnd:
		return []int{3}
	case Read, Continuity, LandEnd, SpliceEnd:
		return []int{3, 3}
	}
	return nil
}

// A Move is one thing that is done to practice wiring.
type Move struct {
	Verb Verb
	// Box is of ProveDead.
	Box string
	// Switch is of Flip.
	Switch switchnet.Ref
	// Points are what Read, Continuity, LandEnd and SpliceEnd are about; red before
	// black, the wire before its screw. ProvePoint, LiftEnd and CapEnd have the first
	// alone.
	Points [2]switchnet.Terminal
}

// String returns the move as one line, as ParseMove reads it: "flip loft/aisle", "read
// loft/C4/red loft/C4/white". Names with anything but letters, digits, dots, dashes and
// underscores are in quotation marks.
func (m Move) String() string {
	s := m.Verb.String()
	switch m.Verb {
	case Flip:
		s += " " + refText(m.Switch)
	case ProveDead:
		s += " " + quoteName(m.Box)
	case ProvePoint, LiftEnd, CapEnd:
		s += " " + pointText(m.Points[0])
	case Read, Continuity, LandEnd, SpliceEnd:
		s += " " + pointText(m.Points[0]) + " " + pointText(m.Points[1])
	}
	return s
}

// maxLine is how long the line of a move may be, in bytes.
const maxLine = 4096

// ParseMove reads the line of a move, as Move.String writes it. It does not ask whether
// the practice wiring has what the line names. An error says how the line is written.
func ParseMove(line string) (Move, error) {
	if len(line) > maxLine {
		return Move{}, fmt.Errorf("lab: a line of %d bytes is no move", len(line))
	}
	w, err := words(line)
	if err != nil {
		return Move{}, fmt.Errorf("lab: %w", err)
	}
	if len(w) == 0 {
		return Move{}, fmt.Errorf("lab: the line is empty: write one of %s", strings.Join(verbWords[1:], ", "))
	}
	var m Move
	if len(w[0]) != 1 {
		return Move{}, fmt.Errorf("lab: a move begins with one of %s", strings.Join(verbWords[1:], ", "))
	}
	if err := m.Verb.UnmarshalText([]byte(w[0][0])); err != nil {
		return Move{}, err
	}
	shape := m.Verb.points()
	bad := len(shape) != len(w)-1
	for i := 0; !bad && i < len(shape); i++ {
		bad = len(w[i+1]) != shape[i]
	}
	if bad {
		return Move{}, fmt.Errorf("lab: write %s", m.Verb.Use())
	}
	for i, names := range w[1:] {
		switch len(names) {
		case 1:
			m.Box = names[0]
		case 2:
			m.Switch = switchnet.Ref{Place: names[0], Name: names[1]}
		case 3:
			m.Points[i] = switchnet.Terminal{Place: names[0], Device: names[1], Name: names[2]}
		}
	}
	return m, nil
}
