package boxfill

import (
	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// count charges everything in the box.
func (f *filler) count(c *Contents) {
	f.largest(c)
	f.conductors(c)
	f.fixtureWires(c)
	f.grounds(c)
	if f.counted(c.Clamps.Internal, path{"Clamps", -1, "Internal"}) {
		f.apply(&f.t.Clamps, thing{item: ItemClamp, count: c.Clamps.Internal}, path{"Clamps", -1, "Internal"})
	}
	if f.counted(c.Clamps.External, path{"Clamps", -1, "External"}) {
		f.apply(&f.t.ExternalClamps, thing{item: ItemExternalClamp, count: c.Clamps.External}, path{"Clamps", -1, "External"})
	}
	f.fittings(c.Fittings)
	for i := range c.Devices {
		f.device(&c.Devices[i], i)
	}
	for i := range c.Blocks {
		at := path{"Blocks", i, "Largest"}
		f.apply(&f.t.TerminalBlocks, thing{item: ItemTerminalBlock, count: 1, size: c.Blocks[i].Largest}, at)
	}
	f.connectors(c.Connectors)
}

// largest finds the largest conductors present: of any kind, and insulated. A
// conductor that only a device, block or connector mentions is present too.
func (f *filler) largest(c *Contents) {
	present := func(size conductor.Size, insulated bool) {
		if size != f.inBox && size.Compare(f.inBox) > 0 {
			f.inBox = size
		}
		if insulated && size != f.insulated && size.Compare(f.insulated) > 0 {
			f.insulated = size
		}
	}
	for i := range c.Conductors {
		if c.Conductors[i].Count > 0 {
			present(c.Conductors[i].Size, true)
		}
	}
	for i := range c.Grounds {
		if c.Grounds[i].Count > 0 {
			kind := c.Grounds[i].Kind
			present(c.Grounds[i].Size, kind == InsulatedGround || kind == IsolatedGround)
		}
	}
	for i := range c.Devices {
		present(c.Devices[i].Largest, true)
	}
	for i := range c.Blocks {
		present(c.Blocks[i].Largest, true)
	}
	for i := range c.Connectors {
		if c.Connectors[i].Count > 0 {
			present(c.Connectors[i].Largest, true)
		}
	}
}

func (f *filler) conductors(c *Contents) {
	rules := &f.t.Conductors
	for i := range c.Conductors {
		entry := &c.Conductors[i]
		at := path{"Conductors", i, "Size"}
		if entry.Count == 0 || !f.soundConductors(entry, i) {
			continue
		}
		switch entry.Role {
		case Spliced:
			f.apply(&rules.Spliced, thing{item: ItemSpliced, count: entry.Count, size: entry.Size}, at)
		case Landed:
			f.apply(&rules.Landed, thing{item: ItemLanded, count: entry.Count, size: entry.Size}, at)
		case PassingThrough:
			if rules.LoopAtLeast > 0 && entry.Loop >= rules.LoopAtLeast {
				f.trust(&rules.LoopSource, ItemLooped)
				f.apply(&rules.Looped, thing{item: ItemLooped, count: entry.Count, size: entry.Size}, at)
			} else {
				f.apply(&rules.PassingThrough, thing{item: ItemPassingThrough, count: entry.Count, size: entry.Size}, at)
			}
		case Pigtail:
			f.apply(&rules.Pigtail, thing{item: ItemPigtail, count: entry.Count, size: entry.Size}, at)
		case FixtureWire: // counted together, by fixtureWires
		}
	}
}

// soundConductors checks every field of an entry that is not empty.
func (f *filler) soundConductors(entry *Conductors, i int) bool {
	sound := f.sized(entry.Size, path{"Conductors", i, "Size"})
	sound = f.counted(entry.Count, path{"Conductors", i, "Count"}) && sound
	if !known(roleWords, entry.Role) {
		f.problem(ErrUnset, path{"Conductors", i, "Role"}, "%v: want one of %s", entry.Role, wordList(roleWords))
		sound = false
	}
	return f.looped(entry, i) && sound
}

// looped checks the free length of a conductor.
func (f *filler) looped(entry *Conductors, i int) bool {
	at := path{"Conductors", i, "Loop"}
	switch {
	case entry.Loop < 0:
		f.problem(ErrNegative, at, "%v: a length is zero or more", entry.Loop)
	case entry.Loop > 0 && entry.Role != PassingThrough:
		f.problem(ErrMismatch, at, "%v of free length in the role %v: only a conductor passing through has a loop", entry.Loop, entry.Role)
	default:
		return true
	}
	return false
}

// fixtureWires charges the wires of a luminaire mounted on the box.
func (f *filler) fixtureWires(c *Contents) {
	rule := &f.t.FixtureWires
	small := 0 // wires of a size that may be omitted
	for i := range c.Conductors {
		entry := &c.Conductors[i]
		if entry.Role == FixtureWire && entry.Count > 0 && entry.Count <= MaxCount && rule.omits(entry.Size) {
			small += entry.Count
		}
	}
	omit := small > 0 && (c.Canopy || !rule.CanopyOnly)
	if omit && rule.AtMost > 0 && small > rule.AtMost {
		omit = false
		f.caution(Caution{TooManyFixtureWires, ItemFixtureWire,
			"more small fixture wires than may be omitted, so all of them are counted; another reading counts only those beyond the limit",
			rule.OmitSource})
	}
	for i := range c.Conductors {
		entry := &c.Conductors[i]
		if entry.Role != FixtureWire || entry.Count <= 0 || entry.Count > MaxCount || !f.t.covers(entry.Size) {
			continue // already a problem
		}
		at := path{"Conductors", i, "Size"}
		if omit && rule.omits(entry.Size) {
			f.charge(Line{Item: ItemFixtureWire, Count: entry.Count, Size: entry.Size, Source: rule.OmitSource}, at)
		} else {
			f.apply(&rule.Counted, thing{item: ItemFixtureWire, count: entry.Count, size: entry.Size}, at)
		}
	}
}

// omits reports whether a fixture wire of the size may be left out of the count.
func (r *FixtureWireRule) omits(size conductor.Size) bool {
	return size.Valid() && r.SmallerThan.Valid() && size.Compare(r.SmallerThan) < 0
}

// soundGrounds checks every field of an entry that is not empty.
func (f *filler) soundGrounds(entry *Grounds, i int) bool {
	sound := f.sized(entry.Size, path{"Grounds", i, "Size"})
	sound = f.counted(entry.Count, path{"Grounds", i, "Count"}) && sound
	if !known(groundWords, entry.Kind) {
		f.problem(ErrUnset, path{"Grounds", i, "Kind"}, "%v: want one of %s", entry.Kind, wordList(groundWords))
		sound = false
	}
	return sound
}

// grounds charges equipment grounding conductors: the shared group, and apart
// from it what the region counts one by one or as a set of its own.
func (f *filler) grounds(c *Contents) {
	rules := &f.t.Grounds
	var group, set groundCount
	for i := range c.Grounds {
		entry := &c.Grounds[i]
		at := path{"Grounds", i, "Size"}
		if entry.Count == 0 || !f.soundGrounds(entry, i) {
			continue
		}
		switch kind := entry.Kind; {
		case kind == CanopyGround && f.t.FixtureWires.Grounds && (c.Canopy || !f.t.FixtureWires.CanopyOnly):
			f.charge(Line{Item: ItemCanopyGround, Count: entry.Count, Size: entry.Size, Source: f.t.FixtureWires.OmitSource}, at)
		case kind == InsulatedGround && !rules.Insulated.Absent():
			f.apply(&rules.Insulated, thing{item: ItemInsulatedGround, count: entry.Count, size: entry.Size}, at)
		case kind == IsolatedGround && rules.Isolated.Per == WithOthers:
			f.trust(&rules.Isolated.Source, ItemIsolatedGround)
			group.add(entry)
		case kind == IsolatedGround && f.allows(rules.Isolated.Absent(), ItemIsolatedGround, path{"Grounds", i, "Kind"}):
			set.add(entry)
		case kind == IsolatedGround: // refused or a problem
		case f.allows(rules.Absent(), ItemGround, path{"Grounds", i, "Kind"}):
			group.add(entry)
		}
	}
	if group.n > 0 {
		first := group.n
		if rules.First > 0 {
			first = min(first, rules.First)
		}
		at := path{field: "Grounds", index: -1}
		if f.weighty(rules.FirstWeight, ItemGround) {
			f.charge(Line{Item: ItemGround, Count: first, Size: group.size, Weight: rules.FirstWeight, Source: rules.Source}, at)
		}
		if beyond := group.n - first; beyond > 0 && f.weighty(rules.Beyond, ItemGroundBeyond) {
			f.charge(Line{Item: ItemGroundBeyond, Count: beyond, Size: group.size,
				Weight: rules.Beyond * Weight(beyond), Source: rules.BeyondSource}, at)
		}
	}
	if set.n > 0 {
		f.apply(&rules.Isolated, thing{item: ItemIsolatedGround, count: set.n, size: set.size}, path{field: "Grounds", index: -1})
	}
}

// groundCount is a group of grounding conductors: how many, the largest.
type groundCount struct {
	n    int
	size conductor.Size
}

func (g *groundCount) add(entry *Grounds) {
	g.n += entry.Count
	if entry.Size.Compare(g.size) > 0 {
		g.size = entry.Size
	}
}

// fittings charges support fittings, those of one kind together.
func (f *filler) fittings(fittings []Fittings) {
	for i := range fittings {
		kind := fittings[i].Kind
		if !f.counted(fittings[i].Count, path{"Fittings", i, "Count"}) || countOf(fittings[:i], kind) > 0 {
			continue
		}
		at := path{"Fittings", i, "Kind"}
		rule := f.t.fitting(kind)
		switch {
		case rule != nil:
			f.apply(rule, thing{item: ItemFitting, name: kind, count: countOf(fittings, kind)}, at)
		case f.allows(len(f.t.Fittings) == 0, ItemFitting, at):
			f.problem(ErrName, at, "%q: %s has rules for %s", kind, f.t.Region, f.t.fittingKinds())
		}
	}
}

// countOf returns how many fittings of the kind there are.
func countOf(fittings []Fittings, kind string) int {
	n := 0
	for i := range fittings {
		if fittings[i].Kind == kind {
			n += max(fittings[i].Count, 0)
		}
	}
	return n
}

// device charges one device by its yoke, by its gangs or by its depth.
func (f *filler) device(d *Device, i int) {
	at := path{"Devices", i, "Largest"}
	rules := &f.t.Devices
	if !f.measured(d, i) {
		return
	}
	what, rule := thing{item: ItemDevice, name: d.Name, count: 1, gangs: max(d.Gangs, 1), size: d.Largest}, &rules.Yoke
	if what.gangs > 1 && !rules.Wide.Absent() {
		what.item, rule = ItemWideDevice, &rules.Wide
		f.trust(&rules.WideSource, what.item)
	}
	weight, size, ok := f.weigh(rule, &what, at)
	if !ok {
		return
	}
	line := Line{Item: what.item, Name: d.Name, Count: 1, Size: size, Weight: weight, Source: rule.Source}
	switch deep := &rules.Deep; {
	case deep.Over <= 0:
	case d.Depth == 0:
		f.caution(Caution{DepthNotGiven, what.item, "the depth of a device was not given: it is taken as no more than " +
			deep.Over.In(quantity.Centimeter) + " from strap to back", deep.OverSource})
	case d.Depth > deep.Over:
		f.trust(&deep.OverSource, ItemDeepDevice)
		f.deepDevice(line, d.Depth, path{"Devices", i, "Depth"})
		return
	}
	f.charge(line, at)
}

// deepDevice charges a device by depth, or by its allowances, which are those
// of the line, where they are more.
func (f *filler) deepDevice(line Line, depth quantity.Length, at path) {
	deep := &f.t.Devices.Deep
	// A length in nanometers is a whole number of billionths of a centimeter.
	const perNanometer = One / Weight(quantity.Centimeter)
	volume, ok := (Weight(depth) * perNanometer).of(deep.PerCentimeter)
	if !ok {
		f.problem(ErrTable, at, "%v a centimeter for a deep device is out of range", deep.PerCentimeter)
		return
	}
	if allowance := f.t.allowance(line.Size); allowance != nil {
		each, _ := allowance.Volume.In(f.column)
		if byYoke, ok := line.Weight.of(each); ok && byYoke >= volume {
			f.charge(line, at)
			return
		}
	}
	f.caution(Caution{DeepInPlace, ItemDeepDevice,
		"a deep device is charged by its depth in place of its allowances, not on top of them: confirm the reading", deep.Source})
	f.other.Required += volume
	f.charge(Line{Item: ItemDeepDevice, Name: line.Name, Count: 1, Each: volume, Total: volume, Source: deep.Source}, at)
}

// measured checks the gangs and measures of a device.
func (f *filler) measured(d *Device, i int) bool {
	over := f.t.Devices.WideOver
	switch {
	case d.Gangs < 0:
		f.problem(ErrNegative, path{"Devices", i, "Gangs"}, "%d: a device needs one gang or more", d.Gangs)
	case d.Gangs > MaxCount:
		f.problem(ErrLimit, path{"Devices", i, "Gangs"}, "%d: more than %d gangs", d.Gangs, MaxCount)
	case d.Width < 0:
		f.problem(ErrNegative, path{"Devices", i, "Width"}, "%v: a width is zero or more", d.Width)
	case d.Depth < 0:
		f.problem(ErrNegative, path{"Devices", i, "Depth"}, "%v: a depth is zero or more", d.Depth)
	case d.Depth > maxDepth:
		f.problem(ErrLimit, path{"Devices", i, "Depth"}, "%v: deeper than %v", d.Depth, maxDepth)
	case over > 0 && d.Width > over && d.Gangs <= 1:
		f.problem(ErrGangs, path{"Devices", i, "Gangs"}, "a device %v wide does not mount in one gang: give the gangs it needs", d.Width)
	case over > 0 && d.Width > 0 && d.Width <= over && d.Gangs > 1:
		f.problem(ErrGangs, path{"Devices", i, "Gangs"}, "a device %v wide needs one gang, not %d", d.Width, d.Gangs)
	default:
		return true
	}
	return false
}

// connectors charges wire connectors with insulating caps, all together: pairs
// are counted over the whole box, at the largest conductor under any of them.
func (f *filler) connectors(connectors []Connectors) {
	n := 0
	var largest conductor.Size
	at := path{field: "Connectors", index: -1}
	for i := range connectors {
		entry := &connectors[i]
		if !f.counted(entry.Count, path{"Connectors", i, "Count"}) {
			continue
		}
		n += entry.Count
		if entry.Largest.Compare(largest) > 0 {
			largest, at = entry.Largest, path{"Connectors", i, "Largest"}
		}
	}
	if n > 0 {
		f.apply(&f.t.Connectors, thing{item: ItemConnector, count: n, size: largest}, at)
	}
}
