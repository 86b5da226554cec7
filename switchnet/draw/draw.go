package draw

import (
	"errors"
	"fmt"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// Scheme says on which ground a picture stands.
type Scheme uint8

// The schemes. The zero value follows the reader: dark where the reader's screen is
// set to dark, light otherwise and on paper.
const (
	Light Scheme = iota + 1
	Dark
)

// Options says how pictures are made. The zero value, or nil, means the defaults.
type Options struct {
	// Width is how wide a picture should be at most, in px of 1/96 in: 0 means
	// [Page]. A picture that holds more than that is wider all the same, since its
	// text is never made smaller; less than [Phone] is taken as Phone.
	Width int
	// Scheme is the ground; 0 follows the reader.
	Scheme Scheme
	// Words puts words of the region in place of those of this module, two-way for
	// three-way, in what is said of kinds of devices and of functions; nil leaves them.
	// Names of terminals stay, for landings refer to them.
	Words func(string) string
}

// The widths that matter, in px: what is left of A4 and of Letter beside margins of
// 15 mm, and of a phone's screen.
const (
	Page  = 680
	Phone = 344
)

// A Picture is a drawing laid out, which writes itself as SVG. It is immutable and
// safe for concurrent use.
type Picture struct {
	title, description string
	scheme             Scheme
	scene              scene
}

// Title returns what the picture is, in a few words; its SVG says it too.
func (p *Picture) Title() string { return p.title }

// Description returns in sentences all that the picture shows, for those who do not
// see it; its SVG holds it too. The text is for reading and not stable.
func (p *Picture) Description() string { return p.description }

// Size returns the width and height of the picture in px of 1/96 in.
func (p *Picture) Size() (width, height int) { return p.scene.width, p.scene.height }

// A Drawer draws the pictures of one wiring. It is immutable and safe for concurrent
// use.
type Drawer struct {
	w      *wiring.Wiring
	spec   wiring.Spec
	boxes  map[string]*held
	marks  map[wiring.End]conductor.Colour
	tags   map[wiring.End]string
	landed map[wiring.End]switchnet.Terminal
	on     map[switchnet.Terminal][]wiring.Wire // landed, in the order of the job
	open   map[wiring.Wire]bool
	cables map[string]*wiring.Cable
}

// held is what a box holds, as numbers in the lists of the job, in its order.
type held struct {
	box                                           *wiring.Box
	feeds, devices, lights, cables, splices, ties []int
}

// New returns a drawer for a wiring, in time linear in it.
func New(w *wiring.Wiring) *Drawer {
	d := &Drawer{w: w, spec: w.Spec(), boxes: map[string]*held{}, marks: map[wiring.End]conductor.Colour{}, tags: map[wiring.End]string{},
		landed: map[wiring.End]switchnet.Terminal{}, on: map[switchnet.Terminal][]wiring.Wire{}, open: map[wiring.Wire]bool{}, cables: map[string]*wiring.Cable{}}
	s := &d.spec
	for i := range s.Boxes {
		d.boxes[s.Boxes[i].Name] = &held{box: &s.Boxes[i]}
	}
	for i, x := range s.Feeds {
		h := d.boxes[x.Box]
		h.feeds = append(h.feeds, i)
	}
	for i, x := range s.Devices {
		h := d.boxes[x.Box]
		h.devices = append(h.devices, i)
	}
	for i, x := range s.Lights {
		h := d.boxes[x.Box]
		h.lights = append(h.lights, i)
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		d.cables[c.Name] = c
		for _, b := range []string{c.From, c.To} {
			if h := d.boxes[b]; h != nil {
				h.cables = append(h.cables, i)
			}
		}
	}
	for i, x := range s.Splices {
		h := d.boxes[x.Box]
		h.splices = append(h.splices, i)
	}
	for i, x := range s.Ties {
		h := d.boxes[x.Box]
		h.ties = append(h.ties, i)
	}
	for _, x := range s.Marks {
		d.marks[wiring.End{Box: x.Box, Wire: x.Wire}] = x.As
	}
	for _, x := range s.Tags {
		d.tags[wiring.End{Box: x.Box, Wire: x.Wire}] = x.Text
	}
	for _, x := range s.Landings {
		t := switchnet.Terminal{Place: x.Box, Device: x.Device, Name: x.Terminal}
		d.landed[wiring.End{Box: x.Box, Wire: x.Wire}] = t
		d.on[t] = append(d.on[t], x.Wire)
	}
	for _, x := range s.Opens {
		d.open[x] = true
	}
	return d
}

// settings are options with the defaults filled in.
type settings struct {
	width  int
	scheme Scheme
	words  func(string) string
}

var errScheme = errors.New("draw: the scheme must be Light, Dark, or 0 to follow the reader")

func (o *Options) settings() (settings, error) {
	s := settings{width: Page, words: func(t string) string { return t }}
	if o == nil {
		return s, nil
	}
	if o.Scheme > Dark {
		return s, errScheme
	}
	if o.Width < 0 {
		return s, fmt.Errorf("draw: the width is %d px; give one above 0, or 0 for the width of a page", o.Width)
	}
	s.scheme = o.Scheme
	if o.Width > 0 {
		s.width = max(o.Width, Phone)
	}
	if o.Words != nil {
		s.words = o.Words
	}
	return s, nil
}
