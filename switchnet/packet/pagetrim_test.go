package packet_test

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// all returns the text of an element and then that of each element in it.
func all(e *element) string {
	var b strings.Builder
	e.walk(func(x *element) { b.WriteString(x.text + " ") })
	return strings.Join(strings.Fields(b.String()), " ")
}

// named returns the elements of a class.
func named(root *element, class string) []*element {
	var out []*element
	root.walk(func(e *element) {
		if e.attr["class"] == class {
			out = append(out, e)
		}
	})
	return out
}

// Whoever has a single page of a sheet in hand reads which box it is and how to be safe in
// it: both stand in the part that paper repeats at the head of every page.
func TestPageRunningHead(t *testing.T) {
	heads := named(tree(t, pageOf(t, nil, nil)), "running")
	if len(heads) != 12 {
		t.Fatalf("%d heads for 12 boxes", len(heads))
	}
	for i, box := range []string{"panel", "store-door", "slip-door"} {
		got := all(heads[i])
		for _, want := range []string{"Box " + box, "Boat shed", fmt.Sprintf("sheet %d, revision 1", i+1), "Switch off and lock out, as drawn: shed lights at panel", cautions.Brief()} {
			if !strings.Contains(got, want) {
				t.Errorf("the head of %s lacks %q: %s", box, want, got)
			}
		}
	}
	if !strings.Contains(all(heads[0]), "DANGER") {
		t.Error("the head of the panel does not warn of what stays live")
	}
	css, err := os.ReadFile("page.css")
	if err != nil {
		t.Fatal(err)
	}
	paper := css[strings.Index(string(css), "@media print"):]
	for _, want := range []string{`\.sheet \{[^}]*display: table;`, `\.running \{ display: table-header-group; break-inside: avoid \}`, `\.rest \{ display: table-row-group \}`} {
		if !regexp.MustCompile(want).Match(paper) {
			t.Errorf("on paper the head is not repeated: no %s", want)
		}
	}
}

// gangs changes the slip door: how many gangs, and where its two devices stand.
func gangs(n, aisle, slipway int) func(f *job.File) {
	return func(f *job.File) {
		for i := range f.Wiring.Boxes {
			if f.Wiring.Boxes[i].Name == "slip-door" {
				f.Wiring.Boxes[i].Gangs = n
			}
		}
		for i := range f.Wiring.Devices {
			switch d := &f.Wiring.Devices[i]; {
			case d.Box != "slip-door":
			case d.Name == "aisle":
				d.Gang = aisle
			default:
				d.Gang = slipway
			}
		}
	}
}

// Which device stands in which gang, in the page and in the text.
func TestStands(t *testing.T) {
	for _, tt := range []struct {
		reason   string
		change   func(f *job.File)
		page     string // the table of gangs
		standing string
	}{
		{"as the job lists them", nil, "From the left, as you face the box in the room Gang 1: aisle Gang 2: slipway",
			"From the left, as you face the box in the room: gang 1 aisle, gang 2 slipway."},
		{"the other way round", gangs(2, 2, 1), "From the left, as you face the box in the room Gang 1: slipway Gang 2: aisle",
			"From the left, as you face the box in the room: gang 1 slipway, gang 2 aisle."},
		{"a blank", gangs(3, 1, 3), "From the left, as you face the box in the room Gang 1: aisle Gang 2: blank Gang 3: slipway",
			"From the left, as you face the box in the room: gang 1 aisle, gang 2 blank, gang 3 slipway."},
		{"one is stated", gangs(3, 2, 0), "From the left, as you face the box in the room Gang 1: not stated: Gang 2: aisle Gang 3: not stated:",
			"From the left, as you face the box in the room: gang 1 not stated, gang 2 aisle, gang 3 not stated."},
		{"nothing is stated", gangs(2, 0, 0), "From the left, as you face the box in the room Gang 1: not stated: Gang 2: not stated:",
			"The job does not say which device stands in which gang: note it before the cover goes on."},
		{"a wide one", func(f *job.File) {
			gangs(3, 2, 1)(f)
			for i := range f.Wiring.Devices {
				if d := &f.Wiring.Devices[i]; d.Box == "slip-door" && d.Name == "aisle" {
					d.Gangs = 2
				}
			}
		}, "From the left, as you face the box in the room Gang 1: slipway Gang 2: aisle Gang 3: aisle",
			"From the left, as you face the box in the room: gang 1 slipway, gang 2 aisle, gang 3 aisle."},
		{"two on one yoke", func(f *job.File) {
			for i := range f.Wiring.Devices {
				if d := &f.Wiring.Devices[i]; d.Box == "slip-door" {
					d.Gang, d.Yoke = 2, "right"
				}
			}
		}, "From the left, as you face the box in the room Gang 1: blank Gang 2: , aisle slipway",
			"From the left, as you face the box in the room: gang 1 blank, gang 2 aisle and slipway."},
		{"two on one yoke in a box of one gang", func(f *job.File) {
			gangs(1, 0, 0)(f)
			for i := range f.Wiring.Devices {
				if d := &f.Wiring.Devices[i]; d.Box == "slip-door" {
					d.Yoke = "both"
				}
			}
		}, "", ""},
	} {
		page := named(tree(t, pageOf(t, tt.change, &packet.PageOptions{Boxes: []string{"slip-door"}})), "gangs")
		got := ""
		if len(page) > 0 {
			got = all(page[0])
		}
		if got != tt.page || len(page) > 1 {
			t.Errorf("%s: %d tables, %q, want %q", tt.reason, len(page), got, tt.page)
		}
		d := shed(t, tt.change)
		if got := sheetOf(t, d, "slip-door").Standing(); got != tt.standing {
			t.Errorf("%s: %q, want %q", tt.reason, got, tt.standing)
		}
		if tt.standing != "" && !strings.Contains(strings.Join(strings.Fields(text(t, d)), " "), tt.standing) {
			t.Errorf("%s: the text does not say %q", tt.reason, tt.standing)
		}
	}
	was, is := shed(t, nil), shed(t, gangs(2, 2, 1))
	if changed := packet.Compare(was, is); len(changed) != 1 || changed[0].Box != "slip-door" || len(changed[0].Is) != 1 {
		t.Errorf("two switches that change places make other sheets than that of their box, or more of it, void: %v", changed)
	}
}

// Each screw on which something lands has a box to tick.
func TestPageTrimTicks(t *testing.T) {
	page := tree(t, pageOf(t, func(f *job.File) {
		f.Wiring.Devices = append(f.Wiring.Devices, wiring.Device{Name: "spare", Box: "store-door", Kind: switchnet.SinglePole()})
	}, &packet.PageOptions{Boxes: []string{"store-door"}}))
	ticks := map[string]int{}
	page.walk(func(e *element) {
		if e.name != "table" || len(e.kids) == 0 || e.kids[0].name != "caption" {
			return
		}
		e.walk(func(x *element) { ticks[all(e.kids[0])] += strings.Count(x.attr["class"], "tick") })
	})
	for caption, want := range map[string]int{", three-way aisle": 4, ", single-pole spare": 0, "Splices": 3, "Cables in; added here is for the sheath and the free conductor": 2} {
		if got, there := ticks[caption]; got != want || !there {
			t.Errorf("%d boxes to tick in the table %q, want %d; there are %v", got, caption, want, ticks)
		}
	}
}

// Every insulated end that the job gives no tag, and every splice with such an end, has one
// to cut out that says what it is; and the tags say that they prove nothing.
func TestPageTagsOfTheUntagged(t *testing.T) {
	root := tree(t, pageOf(t, func(f *job.File) {
		f.Wiring.Tags = nil
		f.Wiring.Caps = append(f.Wiring.Caps, wiring.Cap{Box: "slip-door", Wire: wiring.Wire{Cable: "X", Conductor: "black"}})
		f.Wiring.Cables = append(f.Wiring.Cables, wiring.Cable{Name: "X", Type: f.Wiring.Cables[0].Type, From: "slip-door", To: "loft"})
	}, &packet.PageOptions{Parts: []packet.Part{packet.TagsPart}}))
	var tags []string
	for _, e := range named(root, "tagset") {
		if strings.HasPrefix(all(e), "Box slip-door") {
			e.walk(func(x *element) {
				if x.name == "li" {
					tags = append(tags, all(x))
				}
			})
		}
	}
	got := strings.Join(tags, "\n")
	for _, want := range []string{
		"Splice 1 hot of shed lights: C2.black, C3.black in , revision 1 slip-door",
		"Splice 2 neutral of shed lights: C2.white, C3.white, C12.white in , revision 1 slip-door",
		"Splice 3 ground: C2.bare, C3.bare, C12.bare in , revision 1 slip-door",
		"C2.red aisle traveler between slip-door and store-door in , revision 1 slip-door",
		"C12.black switch leg of floodlight in , revision 1 slip-door",
		"X.black capped: ",
		"C2 (14/4) other end in store-door in , revision 1 slip-door",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no tag %q among\n%s", want, got)
		}
	}
	if said := all(root); !strings.Contains(said, "never that a conductor is dead") || !strings.Contains(said, cautions.Brief()) {
		t.Error("the tags do not say that they prove nothing")
	}
}

// How to find the screws is told once for two devices of one kind in a box.
func TestPageFoundAs(t *testing.T) {
	for _, tt := range []struct {
		reason, box string
		told, as    int
	}{
		{"two three-ways", "loft", 1, 1},
		{"a four-way and a single-pole, of which there is little to tell", "slip-door", 1, 0},
	} {
		page := pageOf(t, nil, &packet.PageOptions{Boxes: []string{tt.box}})
		page = page[strings.Index(page, "<h3>Trim"):]
		if told, as := strings.Count(page, "On the loose device"), strings.Count(page, "is said under <bdi>aisle</bdi>"); told != tt.told || as != tt.as {
			t.Errorf("%s: told %d times and referred to %d times, want %d and %d", tt.reason, told, as, tt.told, tt.as)
		}
	}
}
