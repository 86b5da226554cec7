package packet_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// A sheet is void where it says something else than before, and only there.
func TestCompare(t *testing.T) {
	was := shed(t, nil)
	box := func(f *job.File, name string) *wiring.Box {
		i := slices.IndexFunc(f.Wiring.Boxes, func(b wiring.Box) bool { return b.Name == name })
		return &f.Wiring.Boxes[i]
	}
	for _, r := range []struct {
		why    string
		change func(f *job.File)
		want   string // boxes
		said   string // of the first of them
	}{
		{"nothing", func(*job.File) {}, "", ""},
		{"the title is no business of a box", func(f *job.File) { f.Title = "Boat shed, again" }, "", ""},
		{"a box goes higher", func(f *job.File) { box(f, "loft").At[2] = 14 * quantity.Foot }, "loft", "Height as drawn: 14 ft up"},
		{"its door is hung the other way", func(f *job.File) { box(f, "slip-door").DoorOpens = wiring.AwayFromBox }, "slip-door", "opens away from the box"},
		{"a run is longer, which is cut in both its boxes", func(f *job.File) { f.Wiring.Cables[0].Length += quantity.Foot }, "panel store-door", "Cable C1, 14/2, to store-door, 9 ft."},
		{"another volume", func(f *job.File) { box(f, "yard-door").Volume.Sections[0].Marked = 20 * quantity.CubicInch }, "yard-door", "marked 20 in3"},
		{"two travelers exchanged at one end", func(f *job.File) {
			for i := range f.Wiring.Landings {
				if l := &f.Wiring.Landings[i]; l.Box == "yard-door" && l.Wire.Cable == "C3" {
					l.Wire.Conductor = map[string]string{"red": "blue", "blue": "red"}[l.Wire.Conductor]
				}
			}
		}, "yard-door", "C3."},
		{"another device", func(f *job.File) {
			for i := range f.Wiring.Devices {
				if d := &f.Wiring.Devices[i]; d.Name == "slipway" {
					d.Kind = switchnet.ElectronicSwitch()
				}
			}
		}, "slip-door", "slipway (electronic switch), line"},
		{"a tag", func(f *job.File) { f.Wiring.Tags[0].Text = "hot on" }, was.Boxes[slices.IndexFunc(was.Boxes, func(b packet.Box) bool { return b.Name == tagBox(t) })].Name, `"hot on"`},
		{"a box more", func(f *job.File) {
			f.Wiring.Boxes = append(f.Wiring.Boxes, wiring.Box{Name: "lean-to", Kind: wiring.DeviceBox})
		}, "lean-to", "device box"},
	} {
		is := shed(t, r.change)
		got := packet.Compare(was, is)
		var names []string
		for _, c := range got {
			names = append(names, c.Box)
		}
		if strings.Join(names, " ") != r.want {
			t.Errorf("%s: sheets of %q are void, want %q", r.why, names, r.want)
			continue
		}
		if r.said != "" && !strings.Contains(strings.Join(got[0].Is, "\n"), r.said) {
			t.Errorf("%s: %q says nothing of %q", r.why, got[0].Is, r.said)
		}
		// The other way round, what was is what is.
		back := packet.Compare(is, was)
		if len(back) != len(got) {
			t.Errorf("%s: %d sheets, and %d the other way round", r.why, len(got), len(back))
		}
		for i := range back {
			if !slices.Equal(back[i].Was, got[i].Is) || !slices.Equal(back[i].Is, got[i].Was) {
				t.Errorf("%s: the other way round %s says otherwise", r.why, back[i].Box)
			}
		}
	}
}

// tagBox returns the box of the first tag of the shed.
func tagBox(t *testing.T) string {
	t.Helper()
	s, _ := shedSpec(t)
	return s.Tags[0].Box
}
