package lines

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// Vocabulary is what lines about one job may name. It is immutable and safe for
// concurrent use. Make one with For.
type Vocabulary struct {
	switches, lights []switchnet.Ref
	devices          []switchnet.Ref // all that stand in boxes, in name order
	positions        map[switchnet.Ref][]string
	points           map[string]switchnet.Terminal
	byBox            map[string][]string // points as they are written, in name order
	boxes            []string            // as in the job
}

// For returns the vocabulary of a job and of the points at which probes can be put, which
// are [trace.Case.Points].
func For(w *wiring.Wiring, points []switchnet.Terminal) *Vocabulary {
	v := &Vocabulary{positions: map[switchnet.Ref][]string{}, points: map[string]switchnet.Terminal{}, byBox: map[string][]string{}}
	for d := range w.Net().Devices() {
		if d.Kind.Breaker || len(d.Kind.Positions) < 2 {
			continue
		}
		v.switches = append(v.switches, d.Ref)
		for _, p := range d.Kind.Positions {
			v.positions[d.Ref] = append(v.positions[d.Ref], p.Name)
		}
	}
	spec := w.Spec()
	for _, d := range spec.Devices {
		v.devices = append(v.devices, switchnet.Ref{Place: d.Box, Name: d.Name})
	}
	slices.SortFunc(v.devices, switchnet.Ref.Compare)
	for _, l := range spec.Lights {
		v.lights = append(v.lights, switchnet.Ref{Place: l.Box, Name: l.Name})
	}
	for _, b := range spec.Boxes {
		v.boxes = append(v.boxes, b.Name)
	}
	for _, t := range points {
		text := Point(t)
		v.points[text] = t
		v.byBox[t.Place] = append(v.byBox[t.Place], text)
	}
	return v
}

// Ref returns a switch or a light as lines write it, not quoted: BOX:NAME, with a
// backslash before a colon or a backslash in the name of the box.
func Ref(r switchnet.Ref) string { return mask(r.Place, `:\`) + ":" + r.Name }

// Point returns a point as lines write it, not quoted: BOX:DEVICE.TERMINAL, with a
// backslash before a colon or a backslash in the name of the box, and before a dot or
// a backslash in that of the device or cable.
func Point(t switchnet.Terminal) string {
	return mask(t.Place, `:\`) + ":" + mask(t.Device, `.\`) + "." + t.Name
}

// mask sets a backslash before some characters.
func mask(name, special string) string {
	if !strings.ContainsAny(name, special) {
		return name
	}
	var b strings.Builder
	for _, c := range name {
		if strings.ContainsRune(special, c) {
			b.WriteByte('\\')
		}
		b.WriteRune(c)
	}
	return b.String()
}

// Switch returns the switch of that spelling.
func (v *Vocabulary) Switch(text string) (switchnet.Ref, error) {
	return find(text, v.switches, "switch")
}

// Device returns the device of that spelling, a switch or any other that stands in a box.
func (v *Vocabulary) Device(text string) (switchnet.Ref, error) {
	return find(text, v.devices, "device")
}

// Light returns the light of that spelling.
func (v *Vocabulary) Light(text string) (switchnet.Ref, error) {
	return find(text, v.lights, "light")
}

// find returns the one of that spelling; of that name; or in that box.
func find(text string, among []switchnet.Ref, what string) (switchnet.Ref, error) {
	var named, in []switchnet.Ref
	for _, r := range among {
		switch text {
		case Ref(r):
			return r, nil
		case r.Name:
			named = append(named, r)
		case r.Place:
			in = append(in, r)
		}
	}
	if len(named) == 0 {
		named = in
	}
	switch len(named) {
	case 0:
		return switchnet.Ref{}, fmt.Errorf("the job has no %s %q; it has %s", what, text, list(among))
	case 1:
		return named[0], nil
	}
	return switchnet.Ref{}, fmt.Errorf("%q may be more than one %s; say which: %s", text, what, list(named))
}

// most is how many names an error lists.
const most = 40

func list(refs []switchnet.Ref) string {
	if len(refs) == 0 {
		return "none"
	}
	parts := make([]string, 0, len(refs))
	for _, r := range refs[:min(len(refs), most)] {
		parts = append(parts, quote(Ref(r)))
	}
	return shorten(parts, len(refs))
}

func shorten(parts []string, of int) string {
	s := strings.Join(parts, ", ")
	if of > len(parts) {
		s += fmt.Sprintf(" and %d more", of-len(parts))
	}
	return s
}

// Point returns the point of that spelling.
func (v *Vocabulary) Point(text string) (switchnet.Terminal, error) {
	if t, ok := v.points[text]; ok {
		return t, nil
	}
	box, _, _ := strings.Cut(text, ":")
	same := v.byBox[box]
	if len(same) == 0 {
		return switchnet.Terminal{}, fmt.Errorf("there is no point %q; write BOX:DEVICE.TERMINAL or BOX:CABLE.COLOUR, with a box of: %s", text, v.boxList())
	}
	parts := make([]string, 0, len(same))
	for _, s := range same[:min(len(same), most)] {
		parts = append(parts, quote(s))
	}
	return switchnet.Terminal{}, fmt.Errorf("there is no point %q that is there whatever is wrong; in box %q there are: %s", text, box, shorten(parts, len(same)))
}

func (v *Vocabulary) boxList() string {
	parts := make([]string, 0, len(v.boxes))
	for _, b := range v.boxes[:min(len(v.boxes), most)] {
		parts = append(parts, quote(b))
	}
	return shorten(parts, len(v.boxes))
}

// Box returns the name of a box that the job has.
func (v *Vocabulary) Box(text string) (string, error) {
	for _, b := range v.boxes {
		if b == text {
			return b, nil
		}
	}
	return "", fmt.Errorf("the job has no box %q; it has %s", text, v.boxList())
}

// Handle returns what SWITCH=POSITION says.
func (v *Vocabulary) Handle(text string) (trace.Handle, error) {
	name, position, ok := cutLast(text)
	if !ok {
		return trace.Handle{}, fmt.Errorf("%q does not say SWITCH=POSITION", text)
	}
	r, err := v.Switch(name)
	if err != nil {
		return trace.Handle{}, err
	}
	for _, p := range v.positions[r] {
		if p == position {
			return trace.Handle{Switch: r, Position: p}, nil
		}
	}
	return trace.Handle{}, fmt.Errorf("%s has no position %q; it has %s", Ref(r), position, strings.Join(v.positions[r], ", "))
}

// Seen returns what LIGHT=GLOW says.
func (v *Vocabulary) Seen(text string) (trace.Seen, error) {
	name, glow, ok := cutLast(text)
	if !ok {
		return trace.Seen{}, fmt.Errorf("%q does not say LIGHT=GLOW, with a glow of %s; a name with a space in it goes in double quotes", text, glows)
	}
	l, err := v.Light(name)
	if err != nil {
		return trace.Seen{}, err
	}
	out := trace.Seen{Light: l}
	if out.Glow.UnmarshalText([]byte(glow)) != nil {
		return trace.Seen{}, fmt.Errorf("%q is nothing that a light does; write %s", glow, glows)
	}
	return out, nil
}

// Sight returns what LIGHT=BOX says: that the light is seen from the box.
func (v *Vocabulary) Sight(text string) (trace.Sight, error) {
	name, box, ok := cutLast(text)
	if !ok {
		return trace.Sight{}, fmt.Errorf("%q does not say LIGHT=BOX", text)
	}
	l, err := v.Light(name)
	if err != nil {
		return trace.Sight{}, err
	}
	b, err := v.Box(box)
	return trace.Sight{Light: l, From: b}, err
}

// cutLast cuts at the last equals sign, for a name may hold one and what comes after it
// does not.
func cutLast(text string) (before, after string, ok bool) {
	i := strings.LastIndexByte(text, '=')
	if i < 0 {
		return text, "", false
	}
	return text[:i], text[i+1:], true
}
