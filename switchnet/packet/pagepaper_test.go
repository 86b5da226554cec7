package packet_test

import (
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

// A box that a page would not hold is drawn in parts for paper and whole for phones; and a
// jumper from screw to screw is said to be one, with no comma before it.
func TestPageFullBox(t *testing.T) {
	full := func(f *job.File) {
		w := &f.Wiring
		for i := range w.Boxes {
			if w.Boxes[i].Name == "slip-door" {
				w.Boxes[i].Gangs = 6
			}
		}
		for i := range 4 {
			name := fmt.Sprintf("spare %d", i+1)
			w.Devices = append(w.Devices, wiring.Device{Name: name, Box: "slip-door", Kind: switchnet.FourWay()})
			w.Splices = append(w.Splices, wiring.Splice{Box: "slip-door", Join: []wiring.Joint{{Device: name, Terminal: "pair 1 first"}, {Device: name, Terminal: "pair 2 first"}}})
		}
	}
	for _, r := range []struct {
		why    string
		change func(f *job.File)
		parts  int
	}{{"two gangs", nil, 1}, {"six gangs", full, 3}} {
		page := pageOf(t, r.change, &packet.PageOptions{Boxes: []string{"slip-door"}})
		wellMade(t, page)
		wide, phone := 0, 0
		tree(t, page).walk(func(e *element) {
			if e.name != "div" || len(e.kids) == 0 || e.kids[0].name != "svg" {
				return
			}
			title := e.kids[0].kids[0].text
			if strings.HasPrefix(e.attr["class"], "phone") {
				phone++
				if title != "Box slip-door" {
					t.Errorf("%s: for phones there is %q", r.why, title)
				}
				return
			}
			wide++
			if want := fmt.Sprintf("Box slip-door, part %d of %d", wide, r.parts); r.parts > 1 && title != want {
				t.Errorf("%s: part %d is called %q", r.why, wide, title)
			}
		})
		if wide != r.parts || phone != 1 {
			t.Errorf("%s: %d parts and %d pictures for phones, want %d and 1", r.why, wide, phone, r.parts)
		}
		if strings.Contains(page, "<td>, ") {
			t.Errorf("%s: a list of what is joined begins with a comma", r.why)
		}
		if r.change != nil && !strings.Contains(page, "<td>pigtail to spare 1 pair 1 first, pigtail to spare 1 pair 2 first</td><td>a jumper, without a connector</td>") {
			t.Errorf("%s: no jumper from screw to screw", r.why)
		}
	}
}

// On paper the smallest text of a picture of a box is to be read: 7 points and up.
func TestPageTextOnPaper(t *testing.T) {
	css, err := os.ReadFile("page.css")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`\.sheet svg \{ max-width: (\d+)mm; max-height: (\d+)mm \}`).FindSubmatch(css)
	if m == nil {
		t.Fatal("the pictures of sheets have no size on paper")
	}
	wide, _ := strconv.ParseFloat(string(m[1]), 64)
	high, _ := strconv.ParseFloat(string(m[2]), 64)
	const least, point = 11, 25.4 / 72 // px, mm
	seen := 0
	tree(t, pageOf(t, nil, nil)).walk(func(e *element) {
		if e.name != "div" || e.attr["class"] != "wide-scroll wide" || !strings.HasPrefix(e.kids[0].kids[0].text, "Box ") {
			return
		}
		seen++
		w, _ := strconv.ParseFloat(e.kids[0].attr["width"], 64)
		h, _ := strconv.ParseFloat(e.kids[0].attr["height"], 64)
		if pt := least * min(wide/w, high/h) / point; pt < 7 {
			t.Errorf("%s: the smallest text is %.1f points high on paper", e.kids[0].kids[0].text, pt)
		}
	})
	if seen != 12 {
		t.Errorf("%d pictures of 12 boxes", seen)
	}
}
