package job

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet/wiring"
)

var (
	boxWords   = []string{"device", "ceiling", "junction", "panel"}
	boxKinds   = []wiring.BoxKind{wiring.DeviceBox, wiring.CeilingBox, wiring.JunctionBox, wiring.Panel}
	clampWords = []string{"internal", "external", "none"}
	clampKinds = []wiring.ClampKind{wiring.InternalClamps, wiring.ExternalClamps, wiring.NoClamps}
	metalWords = []string{"metal", "plastic"}
	metals     = []bool{true, false}

	sides      = []wiring.Side{wiring.LeftSide, wiring.RightSide}
	doorSides  = []wiring.DoorSide{wiring.HingeSide, wiring.LatchSide}
	doorSwings = []wiring.DoorSwing{wiring.TowardBox, wiring.AwayFromBox}

	additionKinds = []boxfill.AdditionKind{boxfill.ExtensionRing, boxfill.PlasterRing, boxfill.DomedCover}
	barrierKinds  = []boxfill.BarrierKind{boxfill.MetalBarrier, boxfill.NonmetallicBarrier}
)

func words[T fmt.Stringer](values []T) []string {
	out := make([]string, len(values))
	for i, v := range values {
		out[i] = v.String()
	}
	return out
}

func (r *reader) box(e *entry) {
	b := wiring.Box{
		Name:     e.need("name", "the name of the box"),
		Gangs:    e.count("gangs", 1, 20),
		Metal:    word(e, "material", "what a box is made of", metalWords, metals),
		Clamps:   word(e, "clamps", "a way to clamp cables", clampWords, clampKinds),
		Location: e.text("location", "where the box is, in words"),
		Room:     r.roomKind(e),
		Notice:   e.yes("notice"),

		NailSide:  word(e, "nail side", "a side of the box as one faces it", words(sides), sides),
		Door:      word(e, "door", "a side of the door beside it", words(doorSides), doorSides),
		DoorOpens: word(e, "door opens", "a swing of the door, seen from the box", words(doorSwings), doorSwings),
	}
	if e.m.Need("kind", "what the box is for: device, ceiling, junction or panel") == nil {
		e.spoil("kind")
	}
	b.Kind = word(e, "kind", "a kind of box", boxWords, boxKinds)
	if b.Name == unknown {
		e.fail("name", e.m.Get("name"), strict.Report{Found: "a box cannot be called unknown, which stands for the far end of a cable that nobody has found",
			Expected: "another name"})
	}
	r.at(e, &b)
	r.room(e, &b.Volume)
	if b.Metal {
		r.own(b.Name, "box", e.ref)
	}
	r.out.Wiring.Boxes = append(r.out.Wiring.Boxes, b)
}

// at reads the position of a box.
func (r *reader) at(e *entry, b *wiring.Box) {
	const what = "three lengths, such as [12 ft, 0 ft, 4 ft]: along, across and up"
	nodes := e.list("at", what)
	if len(nodes) == 0 && !e.has("at") {
		return
	}
	if len(nodes) != 3 {
		if n := e.m.Get("at"); n.Kind() == strict.KindList || n.Empty() {
			e.fail("at", n, strict.Report{Found: fmt.Sprintf("found %d lengths", len(nodes)), Expected: what})
		}
		return
	}
	b.Placed = true
	for i, n := range nodes {
		s, ok := n.Text("a length")
		if !ok {
			continue
		}
		length, err := quantity.ParseLength(s)
		if err != nil {
			n.Report(complaint(err))
		}
		b.At[i] = length
	}
}

// room reads what box fill needs to know of the box itself.
func (r *reader) room(e *entry, v *boxfill.Box) {
	s := r.section(e)
	sections := e.m.Get("sections")
	if s != (boxfill.Section{}) {
		v.Sections = []boxfill.Section{s}
		if sections != nil {
			sections.Report(strict.Report{Found: "the box has a type or volume of its own and sections too", Expected: "one of the two",
				Fix: "write each type and volume in its section", Other: e.m.Node(), Note: "this is the box"})
		}
	}
	r.parts(e, "sections", "a section", func(p *entry) {
		s := r.section(p)
		s.Count = p.count("count", 1, boxfill.MaxCount)
		v.Sections = append(v.Sections, s)
	})
	r.parts(e, "additions", "an addition", func(p *entry) {
		if p.m.Need("kind", "what is added: extension ring, plaster ring or domed cover") == nil {
			p.spoil("kind")
		}
		v.Additions = append(v.Additions, boxfill.Addition{
			Kind:   word(p, "kind", "an addition to a box", words(additionKinds), additionKinds),
			Marked: positive(p, "volume", "a volume such as 4 in3", quantity.ParseVolume),
			Type:   r.boxType(p),
		})
	})
	r.parts(e, "barriers", "a barrier", func(p *entry) {
		if p.m.Need("kind", "what the barrier is of: metal or nonmetallic") == nil {
			p.spoil("kind")
		}
		v.Barriers = append(v.Barriers, boxfill.Barrier{
			Kind:   word(p, "kind", "a kind of barrier", words(barrierKinds), barrierKinds),
			Marked: positive(p, "volume", "a volume such as 0.5 in3", quantity.ParseVolume),
		})
	})
	const what = "the share of a box that a barrier divides, such as 1 of 2"
	v.Share = value(e, "share", what, func(text string) (boxfill.Share, error) {
		parts, whole, ok := strings.Cut(text, " of ")
		p, err1 := strconv.Atoi(parts)
		w, err2 := strconv.Atoi(whole)
		s := boxfill.Share{Parts: p, Whole: w}
		if !ok || err1 != nil || err2 != nil || p < 1 || p > w || w > 20 || shareText(s) != text {
			return boxfill.Share{}, &wrong{found: fmt.Sprintf("%q is no share of a box", text), expected: what}
		}
		return s, nil
	})
	switch {
	case len(v.Barriers) > 0 && !e.has("share"):
		e.m.Need("share", what)
	case len(v.Barriers) == 0 && v.Share != boxfill.Share{}:
		e.m.Get("share").Report(strict.Report{Found: "a share of a box without barriers", Expected: "barriers that divide it"})
	}
}

func shareText(s boxfill.Share) string { return fmt.Sprintf("%d of %d", s.Parts, s.Whole) }

// section reads the type and the marked volume of a box or section.
func (r *reader) section(e *entry) boxfill.Section {
	return boxfill.Section{Type: r.boxType(e), Marked: positive(e, "volume", "a volume such as 20.3 in3", quantity.ParseVolume)}
}

// parts reads a list within an entry, whose parts are keys and values.
func (r *reader) parts(e *entry, key, what string, read func(p *entry)) {
	for i, n := range e.list(key, "a list of "+key) {
		p := &entry{r: r, m: n.Map(what), ref: wiring.Ref{List: e.ref.List + " " + key, Index: i}}
		read(p)
		p.m.Done()
	}
}
