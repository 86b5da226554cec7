package wiring

import "example.com/switchleg/conductor/quantity"

// A Side is a side of a box as one faces it.
type Side uint8

// The sides of a box. The zero value is not stated.
const (
	LeftSide Side = iota + 1
	RightSide
)

// A DoorSide is a side of a door, by what the door has there.
type DoorSide uint8

// The sides of a door. The zero value is no door.
const (
	HingeSide DoorSide = iota + 1
	LatchSide
)

// A DoorSwing says which way a door swings, as seen from a box beside it.
type DoorSwing uint8

// The ways a door swings. The zero value is not stated.
const (
	TowardBox   DoorSwing = iota + 1 // into the room from which the box is worked
	AwayFromBox                      // into the other room
)

var (
	sideWords  = words{"Side", []string{"left", "right"}}
	doorWords  = words{"DoorSide", []string{"hinge side", "latch side"}}
	swingWords = words{"DoorSwing", []string{"toward", "away"}}
)

// String returns the word: "left" or "right".
func (s Side) String() string { return sideWords.word(uint8(s)) }

// MarshalText writes the word; a side that has none is an error.
func (s Side) MarshalText() ([]byte, error) { return sideWords.text(uint8(s)) }

// UnmarshalText reads the word.
func (s *Side) UnmarshalText(text []byte) error {
	n, err := sideWords.read(text)
	if err == nil {
		*s = Side(n)
	}
	return err
}

// String returns the words: "hinge side" or "latch side".
func (s DoorSide) String() string { return doorWords.word(uint8(s)) }

// MarshalText writes the words; a side that has none is an error.
func (s DoorSide) MarshalText() ([]byte, error) { return doorWords.text(uint8(s)) }

// UnmarshalText reads the words.
func (s *DoorSide) UnmarshalText(text []byte) error {
	n, err := doorWords.read(text)
	if err == nil {
		*s = DoorSide(n)
	}
	return err
}

// String returns the word: "toward" or "away".
func (s DoorSwing) String() string { return swingWords.word(uint8(s)) }

// MarshalText writes the word; a swing that has none is an error.
func (s DoorSwing) MarshalText() ([]byte, error) { return swingWords.text(uint8(s)) }

// UnmarshalText reads the word.
func (s *DoorSwing) UnmarshalText(text []byte) error {
	n, err := swingWords.read(text)
	if err == nil {
		*s = DoorSwing(n)
	}
	return err
}

// Limits of what is said of the framing.
const (
	// MaxBores is how many holes, and how many notches, a cable may run through.
	MaxBores = 1000
	// MaxEdge is the largest distance of a hole from the nearest edge of the framing.
	MaxEdge = quantity.Meter
)

// readFraming checks what is said of a box and the framing around it.
func (x *index) readFraming(i int) {
	b := &x.spec.Boxes[i]
	if b.Kind == Panel || b.Kind == CeilingBox {
		// Nobody stands before it as before a wall beside a door.
		if b.NailSide != 0 {
			x.add(Ref{"boxes", i, "nail side"}, nil, "box %q is a %v box, of which no side is left or right; it goes with a device or junction box", b.Name, b.Kind)
		}
		if b.Door != 0 || b.DoorOpens != 0 {
			x.add(Ref{"boxes", i, "door"}, nil, "box %q is a %v box, which no door covers; it goes with a device or junction box", b.Name, b.Kind)
		}
		return
	}
	if b.NailSide > RightSide {
		x.add(Ref{"boxes", i, "nail side"}, nil, "box %q has its nails on %v; they are left or right of it", b.Name, b.NailSide)
	}
	if b.Door > LatchSide {
		x.add(Ref{"boxes", i, "door"}, nil, "box %q stands on %v of a door; it is the hinge side or the latch side", b.Name, b.Door)
	}
	switch {
	case b.DoorOpens > AwayFromBox:
		x.add(Ref{"boxes", i, "door opens"}, nil, "the door beside box %q opens %v; it opens toward the box or away from it", b.Name, b.DoorOpens)
	case b.DoorOpens != 0 && b.Door == 0:
		x.add(Ref{"boxes", i, "door opens"}, nil, "a door opens beside box %q, and on which side of it the box stands is not said", b.Name)
	}
}

// readBores checks the holes and notches that a cable runs through.
func (x *index) readBores(i int) {
	c := &x.spec.Cables[i]
	at := Ref{"cables", i, "bored"}
	if n := len(c.Bored); n > MaxBores {
		x.add(at, nil, "cable %q runs through %d holes; it runs through at most %d", c.Name, n, MaxBores)
		return
	}
	for _, d := range c.Bored {
		if d <= 0 {
			x.add(at, nil, "cable %q runs through a hole %v from an edge; a hole has more than that to its edge, or is a notch", c.Name, d)
			break
		}
		if d > MaxEdge {
			x.add(at, nil, "cable %q runs through a hole %v from the nearest edge; no framing is that deep: %v is the most", c.Name, d, MaxEdge)
			break
		}
	}
	if c.Notches < 0 || c.Notches > MaxBores {
		x.add(Ref{"cables", i, "notches"}, nil, "cable %q runs through %d notches; it is 0 to %d", c.Name, c.Notches, MaxBores)
	}
}
