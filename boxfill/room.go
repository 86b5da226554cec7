package boxfill

import (
	"math/bits"
	"strconv"

	"example.com/switchleg/conductor/quantity"
)

// room adds up the box. It leaves Available zero where a part of it is unknown
// or refused.
func (f *filler) room(c *Contents) {
	box := &c.Box
	if len(box.Sections) == 0 {
		f.roomUnknown = true
	}
	gangs := 0 // of the sections; -1 where one does not say
	for i := range box.Sections {
		if n := f.section(&box.Sections[i], i); n > 0 && gangs >= 0 {
			gangs += n
		} else {
			gangs = -1
		}
	}
	for i := range box.Additions {
		f.addition(&box.Additions[i], i)
	}
	for i := range box.Barriers {
		f.barrier(&box.Barriers[i], i)
	}
	f.share(box)
	f.gangs(c, gangs)
	if f.result.Available < 0 && !f.roomUnknown && !f.roomRefused {
		f.problem(ErrMismatch, path{"Box", -1, "Barriers"}, "the barriers take more than the box has")
	}
}

// put adds a line to the room; total is negative for what takes room away, and
// other is the total in the other column, zero where that is not known.
func (f *filler) put(line Line, other quantity.Volume, at path) {
	f.trust(&line.Source, line.Item)
	f.result.Available += line.Total
	f.other.Available += other
	if other == 0 && line.Total != 0 {
		f.otherRoom = false
	}
	if f.result.Available > maxVolume || line.Total > maxVolume {
		f.problem(ErrLimit, at, "a box of more than %v", maxVolume)
		f.result.Available = 0
	}
	f.result.Room = merge(f.result.Room, line)
}

// section adds one section, and returns its gangs, zero where they are not known.
func (f *filler) section(s *Section, i int) (gangs int) {
	count := s.Count
	if count == 0 {
		count = 1
	}
	marked := path{"Box.Sections", i, "Marked"}
	if !f.counted(count, path{"Box.Sections", i, "Count"}) || !f.marking(s.Marked, marked) {
		return 0
	}
	var kind *BoxType
	if s.Type != "" {
		if kind = f.t.boxType(s.Type); kind == nil {
			f.problem(ErrName, path{"Box.Sections", i, "Type"}, "%q: %s", s.Type, f.t.noBox(s.Type))
			return 0
		}
		gangs = kind.Gangs * count
	}
	if count > 1 {
		f.trust(&f.t.Marked.SumSource, ItemBox)
	}
	switch {
	case s.Marked > 0:
		if f.allows(f.t.Marked.Source.Absent(), ItemMarked, marked) {
			total := s.Marked * quantity.Volume(count)
			f.put(Line{Item: ItemMarked, Name: s.Type, Count: count, Each: s.Marked, Total: total, Source: f.t.Marked.Source}, total, marked)
		}
	case kind == nil:
		f.roomUnknown = true
	default:
		f.typed(ItemBox, kind, count, path{"Box.Sections", i, "Type"})
	}
	return gangs
}

// typed adds the volume of count boxes of a type.
func (f *filler) typed(item Item, kind *BoxType, count int, at path) {
	volume, source := kind.Volume.In(f.column)
	switch {
	case kind.Refused != "":
		f.roomRefused = true
		f.refuse(Refusal{item, kind.Name + ": " + kind.Refused, *source})
	case volume <= 0 || volume > maxVolume:
		f.problem(ErrTable, at, "%q: %s has no %v volume for it", kind.Name, f.t.Region, f.column)
	default:
		second, _ := kind.Volume.In(f.column.other())
		name := kind.Name
		if item == ItemAddition {
			name = ExtensionRing.String() + ", " + name
		}
		f.put(Line{Item: item, Name: name, Count: count, Each: volume,
			Total: volume * quantity.Volume(count), Source: *source}, second*quantity.Volume(count), at)
	}
}

// marking checks a marked volume.
func (f *filler) marking(marked quantity.Volume, at path) bool {
	switch {
	case marked < 0:
		f.problem(ErrNegative, at, "%v: a marked volume is more than zero", marked)
	case marked > maxVolume/MaxCount:
		f.problem(ErrLimit, at, "%v: more than %v for one box", marked, maxVolume/MaxCount)
	default:
		return true
	}
	return false
}

func (f *filler) addition(a *Addition, i int) {
	at, rule := path{"Box.Additions", i, "Kind"}, &f.t.Additions
	if !known(additionWords, a.Kind) {
		f.problem(ErrUnset, at, "%v: want one of %s", a.Kind, wordList(additionWords))
		return
	}
	if !f.marking(a.Marked, path{"Box.Additions", i, "Marked"}) || !f.allows(rule.Source.Absent(), ItemAddition, at) {
		return
	}
	line := Line{Item: ItemAddition, Name: a.Kind.String(), Count: 1, Each: a.Marked, Total: a.Marked, Source: rule.Source}
	at = path{"Box.Additions", i, "Type"}
	switch {
	case a.Marked > 0:
		f.put(line, a.Marked, at)
	case a.Type == "":
		f.caution(Caution{UnmarkedAddition, ItemAddition, "the " + a.Kind.String() + " is not marked with a volume, so it adds nothing", rule.Source})
		f.put(line, 0, at)
	case !rule.ByType || a.Kind != ExtensionRing:
		f.problem(ErrNoRule, at, "%q: in %s a %v counts only with the volume marked on it", a.Type, f.t.Region, a.Kind)
	default:
		if kind := f.t.boxType(a.Type); kind != nil {
			f.trust(&rule.ByTypeSource, ItemAddition)
			f.typed(ItemAddition, kind, 1, at)
		} else {
			f.problem(ErrName, at, "%q: %s", a.Type, f.t.noBox(a.Type))
		}
	}
}

func (f *filler) barrier(b *Barrier, i int) {
	at := path{"Box.Barriers", i, "Kind"}
	figure := &f.t.Barriers.Metal
	switch {
	case !known(barrierWords, b.Kind):
		f.problem(ErrUnset, at, "%v: want one of %s", b.Kind, wordList(barrierWords))
		return
	case !f.marking(b.Marked, path{"Box.Barriers", i, "Marked"}) || !f.allows(f.t.Barriers.Source.Absent(), ItemBarrier, at):
		return
	case b.Kind == NonmetallicBarrier:
		figure = &f.t.Barriers.Nonmetallic
	}
	each, source := figure.In(f.column)
	second, _ := figure.In(f.column.other())
	if b.Marked > 0 {
		each, second, source = b.Marked, b.Marked, &f.t.Barriers.Source
	} else if each <= 0 || each > maxVolume {
		f.problem(ErrTable, at, "%s has no %v volume for a %v barrier", f.t.Region, f.column, b.Kind)
		return
	}
	f.put(Line{Item: ItemBarrier, Name: b.Kind.String(), Count: 1, Each: each, Total: -each, Source: *source}, -second, at)
}

// share reduces the room to this space's share of it.
func (f *filler) share(box *Box) {
	at, s := path{"Box", -1, "Share"}, box.Share
	switch {
	case s == Share{} && len(box.Barriers) == 0:
		return
	case s == Share{}:
		f.problem(ErrShare, at, "a barrier splits the box: say which share of it this space has, such as 1 of 2")
		return
	case len(box.Barriers) == 0:
		f.problem(ErrShare, at, "%d of %d, but no barrier splits the box", s.Parts, s.Whole)
		return
	case s.Parts < 1 || s.Whole < s.Parts || s.Whole > MaxCount:
		f.problem(ErrShare, at, "%d of %d: want at least 1 part of a whole of at most %d", s.Parts, s.Whole, MaxCount)
		return
	}
	rest := s.of(f.result.Available) - f.result.Available
	f.put(Line{Item: ItemShare, Name: strconv.Itoa(s.Parts) + " of " + strconv.Itoa(s.Whole), Count: 1, Each: rest, Total: rest,
		Source: f.t.Barriers.Source}, s.of(f.other.Available)-f.other.Available, at)
}

// of returns the share of a volume, rounded down to the picoliter.
func (s Share) of(volume quantity.Volume) quantity.Volume {
	if volume <= 0 {
		return volume
	}
	hi, lo := bits.Mul64(uint64(volume), uint64(s.Parts))
	share, _ := bits.Div64(hi, lo, uint64(s.Whole)) // hi < Whole, because Parts <= Whole and volume < 2^63
	return quantity.Volume(share)
}

// gangs compares the gangs of the box with its sections and its devices.
func (f *filler) gangs(c *Contents, ofSections int) {
	at, gangs := path{"Box", -1, "Gangs"}, c.Box.Gangs
	switch {
	case gangs < 0:
		f.problem(ErrNegative, at, "%d: a box has no gangs or more", gangs)
		return
	case gangs > 0 && ofSections > 0 && gangs != ofSections:
		f.problem(ErrGangs, at, "%d, but the sections have %d", gangs, ofSections)
		return
	case gangs == 0:
		gangs = ofSections
	}
	if gangs <= 0 {
		return
	}
	if needed := gangsNeeded(c.Devices); needed > gangs {
		f.problem(ErrGangs, at, "the devices need %d gangs, and the box has %d", needed, gangs)
	}
}

// gangsNeeded returns how many gangs the devices take.
func gangsNeeded(devices []Device) int {
	n := 0
	for i := range devices {
		n += max(devices[i].Gangs, 1)
	}
	return n
}

// conclude compares what is required with the room there is.
func (f *filler) conclude() {
	r := &f.result
	if f.countRefused {
		r.Required, f.otherRequired = 0, false
	}
	if f.roomUnknown || f.roomRefused {
		r.Available, r.Room, f.otherRoom = 0, nil, false
	}
	switch {
	case f.countRefused, f.roomRefused:
		r.Status = Refused
	case f.roomUnknown:
		r.Status = VolumeUnknown
	default:
		r.Spare = r.Available - r.Required
		r.Status = compare(r.Required, r.Available)
	}
	if f.otherRequired && f.otherRoom && r.Status != Refused && r.Status != VolumeUnknown {
		f.other.Status = compare(f.other.Required, f.other.Available)
		r.Other = f.other
	}
	sortResult(r)
}

func compare(required, available quantity.Volume) Status {
	switch {
	case required < available:
		return Fits
	case required == available:
		return ExactlyFull
	}
	return DoesNotFit
}
