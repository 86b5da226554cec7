package conductor

import (
	"fmt"
	"strings"
)

// Hue is one colour of insulation, or bare metal.
type Hue uint8

// Hues. Zero is unset and refused.
const (
	Bare Hue = iota + 1
	Black
	White
	Red
	Blue
	Green
	Gray
	Brown
	Orange
	Yellow
	Purple
	Pink
)

var hues = vocabulary{
	kind: "colour",
	words: []string{"bare", "black", "white", "red", "blue", "green", "gray", "brown",
		"orange", "yellow", "purple", "pink"},
	also: map[string]uint8{"grey": uint8(Gray), "violet": uint8(Purple)},
}

// Colour is the colour of a conductor: a main hue and, on striped insulation,
// the hue of the stripe. The two hues of green-and-yellow stand in that order.
// Colours are comparable; the zero Colour is unset.
type Colour struct {
	Main   Hue
	Stripe Hue // 0 for none
}

// Plain returns the colour of one hue.
func Plain(h Hue) Colour { return Colour{Main: h} }

// ParseColour returns the colour written "red", "bare", "white/red" (or "white
// with red stripe") or "green/yellow". Grey and gray are one hue.
func ParseColour(text string) (Colour, error) {
	main, stripe, striped := strings.Cut(text, "/")
	if !striped {
		if m, s, ok := strings.Cut(text, " with "); ok {
			if s, ok = strings.CutSuffix(s, " stripe"); ok {
				main, stripe, striped = m, strings.TrimPrefix(s, "a "), true
			}
		}
	}
	m, err := hues.parse(main)
	if err != nil {
		return Colour{}, fmt.Errorf("colour %q: %w, or two of them as in white/red", clip(text), err)
	}
	c := Colour{Main: Hue(m)}
	if striped {
		s, err := hues.parse(stripe)
		if err != nil {
			return Colour{}, fmt.Errorf("colour %q: stripe %w", clip(text), err)
		}
		c.Stripe = Hue(s)
	}
	if !c.Valid() {
		return Colour{}, fmt.Errorf("colour %q: a stripe needs insulation of another hue", clip(text))
	}
	return c, nil
}

// Valid reports whether c is a colour: a known hue, with no stripe or one of
// another known hue, and no stripe on bare metal.
func (c Colour) Valid() bool {
	if !hues.valid(uint8(c.Main)) {
		return false
	}
	return c.Stripe == 0 || hues.valid(uint8(c.Stripe)) && c.Stripe != c.Main && c.Main != Bare && c.Stripe != Bare
}

// String returns the colour as ParseColour reads it, or "unset".
func (c Colour) String() string {
	if c.Stripe == 0 {
		return c.Main.String()
	}
	return c.Main.String() + "/" + c.Stripe.String()
}

// MarshalText returns the text of String; a colour that is not valid is an error.
func (c Colour) MarshalText() ([]byte, error) {
	if !c.Valid() {
		return nil, fmt.Errorf("%s is not a colour", c)
	}
	return []byte(c.String()), nil
}

// UnmarshalText reads what ParseColour reads; on an error c is unchanged.
func (c *Colour) UnmarshalText(text []byte) error {
	parsed, err := ParseColour(string(text))
	if err == nil {
		*c = parsed
	}
	return err
}

// String returns the word, or "unset" for zero.
func (h Hue) String() string { return hues.word(uint8(h)) }
