package job

import (
	"reflect"
	"slices"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// Equal reports whether two files say the same: title, rules, kinds, intent and
// wiring, lists in the same order. Where they stand in their texts does not matter,
// and neither does what means the same: a list that is empty or nil, a section of
// count one or none.
func (f *File) Equal(g *File) bool {
	if f == nil || g == nil {
		return f == g
	}
	return differs(f, g) == ""
}

// differs returns the first thing in which two files differ, or nothing.
func differs(f, g *File) string {
	a, b := plainFile(f), plainFile(g)
	x, y := reflect.ValueOf(a), reflect.ValueOf(b)
	for i := range x.NumField() {
		if !same(x.Field(i), y.Field(i)) {
			return x.Type().Field(i).Tag.Get("what")
		}
	}
	return ""
}

// same is reflect.DeepEqual with nil and empty slices alike.
func same(x, y reflect.Value) bool {
	switch x.Kind() {
	case reflect.Slice:
		if x.Len() != y.Len() {
			return false
		}
		if x.Len() > 0 && x.Pointer() == y.Pointer() {
			return true
		}
		for i := range x.Len() {
			if !same(x.Index(i), y.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Struct:
		for i := range x.NumField() {
			if !same(x.Field(i), y.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Array:
		for i := range x.Len() {
			if !same(x.Index(i), y.Index(i)) {
				return false
			}
		}
		return true
	}
	return x.Equal(y)
}

// sameKind reports whether two kinds are equal, at once if they are one value.
func sameKind(a, b *switchnet.Kind) bool {
	one := len(a.Terminals) > 0 && len(a.Positions) > 0 && len(b.Terminals) > 0 && len(b.Positions) > 0 &&
		&a.Terminals[0] == &b.Terminals[0] && &a.Positions[0] == &b.Positions[0] && len(a.Terminals) == len(b.Terminals) && len(a.Positions) == len(b.Positions) &&
		len(a.Internal) == 0 && len(b.Internal) == 0 && a.Electronic == b.Electronic && a.Dimmer == b.Dimmer && a.Breaker == b.Breaker && a.Name == b.Name
	return one || a.Equal(*b)
}

// plain is a file as it is compared.
type plain struct {
	Title      string             `what:"the title"`
	Rules      string             `what:"the rules"`
	Supply     switchnet.System   `what:"the supply"`
	Installed  int                `what:"the year of installation"`
	Kinds      []switchnet.Kind   `what:"a kind of device"`
	Feeds      []wiring.Feed      `what:"a feed"`
	Boxes      []wiring.Box       `what:"a box"`
	Lights     []wiring.Light     `what:"a light"`
	Runs       []intent.Run       `what:"a run"`
	Controls   []intent.Control   `what:"a control"`
	Needs      []intent.Need      `what:"a need"`
	Exemptions []intent.Exemption `what:"an exemption"`
	Stairs     []intent.Stair     `what:"a stair"`
	Stock      []intent.Stock     `what:"the stock"`
	Cables     []wiring.Cable     `what:"a cable"`
	Devices    []wiring.Device    `what:"a device"`
	Splices    []wiring.Splice    `what:"a splice"`
	Landings   []wiring.Landing   `what:"a landing"`
	Caps       []wiring.Cap       `what:"a cap"`
	Marks      []wiring.Mark      `what:"a re-marking"`
	Tags       []wiring.Tag       `what:"a tag"`
	Ties       []wiring.Tie       `what:"a tie"`
	Opens      []wiring.Wire      `what:"a broken wire"`
}

func plainFile(f *File) plain {
	b, w := f.base(), &f.Wiring
	p := plain{Title: f.Title, Rules: f.Rules, Supply: b.Supply, Installed: w.Installed,
		Feeds: b.Feeds, Boxes: slices.Clone(b.Boxes), Lights: b.Lights, Runs: f.Intent.Runs, Controls: f.Intent.Controls, Needs: f.Intent.Needs,
		Exemptions: f.Intent.Exemptions, Stairs: f.Intent.Stairs, Stock: f.Intent.Stock,
		Cables: w.Cables, Devices: slices.Clone(w.Devices), Splices: w.Splices, Landings: w.Landings, Caps: w.Caps, Marks: w.Marks, Tags: w.Tags,
		Ties: w.Ties, Opens: w.Opens}
	// Most devices are of a few kinds, which may be large: what the name says of a
	// kind need not be compared for every device.
	var wrong []string
	if p.Kinds, wrong = f.ownKinds(); len(wrong) == 0 {
		for i := range p.Devices {
			p.Devices[i].Kind = switchnet.Kind{Name: p.Devices[i].Kind.Name}
		}
	}
	for i := range p.Boxes {
		s := slices.Clone(p.Boxes[i].Volume.Sections)
		for k := range s {
			if s[k].Count == 1 {
				s[k].Count = 0
			}
		}
		if len(s) == 1 && s[0] == (boxfill.Section{}) {
			s = nil
		}
		p.Boxes[i].Volume.Sections = s
	}
	return p
}
