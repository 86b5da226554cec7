package draw

import "example.com/switchleg/conductor"

// paint says how a wire is stroked.
type paint struct {
	style style
	// hue and stripe are of insulation, and tape is the colour it is marked with at
	// its end.
	hue, stripe, tape conductor.Hue
}

type style uint8

const (
	insulated style = iota + 1 // a wire in its insulation
	bare                       // a bare conductor
	pigtail                    // a short piece in a box whose colour is not said
	plain                      // a line of a diagram
	bold                       // a line of a diagram that carries what it is about
	sheath                     // a cable
)

// dashes tell hues apart without colour, as on a photocopy: each is the pattern in
// which the hue is laid on white. Black is solid, white is empty, bare metal has no
// outline.
var dashes = [...]string{
	conductor.Red: "10 4", conductor.Blue: "3 3", conductor.Green: "10 3 2 3", conductor.Gray: "1 1", conductor.Brown: "16 3",
	conductor.Orange: "6 6", conductor.Yellow: "2 6", conductor.Purple: "8 3 2 3 2 3", conductor.Pink: "5 2 1 2",
}

// pigments are the colours of the hues, on white.
var pigments = [...]string{
	conductor.Bare: "#8a5a1c", conductor.Black: "#000000", conductor.White: "#ffffff", conductor.Red: "#c81414", conductor.Blue: "#1846b8",
	conductor.Green: "#0a7a32", conductor.Gray: "#6e6e6e", conductor.Brown: "#6b3a12", conductor.Orange: "#c65a00", conductor.Yellow: "#9a7b00",
	conductor.Purple: "#7324a0", conductor.Pink: "#c2407c",
}

// tints are the tones on light and on dark ground. A test holds every one that
// carries text to the contrast it needs.
var tints = [...][2]string{
	paper: {"#ffffff", "#14171a"}, ink: {"#111111", "#f2f2f2"}, muted: {"#454545", "#c6c9cc"}, wash: {"#f3f3ee", "#23282c"}, copper: {"#8a5a1c", "#e0aa62"},
}

// insulation returns the paint of a conductor of a colour.
func insulation(c conductor.Colour) paint {
	if c.Main == conductor.Bare {
		return paint{style: bare}
	}
	return paint{style: insulated, hue: c.Main, stripe: c.Stripe}
}
