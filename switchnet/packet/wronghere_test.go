package packet_test

import (
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/packet"
)

// Whoever has the sheet of one box alone reads on it what is wrong in that box, in the page
// and in the text, and nothing of what may stay because the rule came later.
func TestWrongIsOnTheSheet(t *testing.T) {
	d := proven(t, demoInput(t, demo.CottageName, demo.Cottage()))
	page := pageFrom(t, demo.CottageName, demo.Cottage(), nil, &packet.PageOptions{Boxes: []string{"stair-head", "kitchen-door", "board"}})
	for _, tt := range []struct {
		reason, box string
		has, hasNot []string
	}{
		{"two exchanged wires, a loose end, and no ground", "stair-head",
			[]string{"does not always toggle stair light", "is landed nowhere and not capped", "metal box stair-head is joined to no ground"},
			[]string{"kitchen"}},
		{"the neutral at the switch was asked for later", "kitchen-door",
			[]string{"B2.white carries a line and is not marked for it"},
			[]string{"no neutral of cottage lights is in the box"}},
		{"nothing is wrong in the panel", "board", nil, []string{"WRONG HERE"}},
	} {
		var b strings.Builder
		n := 0
		for i := range d.Boxes {
			if d.Boxes[i].Name == tt.box {
				n = i
			}
		}
		if err := packet.WriteBox(&b, d, n); err != nil {
			t.Fatal(err)
		}
		_, sheet, _ := strings.Cut(page, "Box <bdi>"+tt.box+"</bdi></h2>")
		sheet, _, _ = strings.Cut(sheet, "</section>")
		for what, said := range map[string]string{"text": strings.Join(strings.Fields(b.String()), " "), "page": sheet} {
			if len(tt.has) > 0 {
				tt.has = append(tt.has, "WRONG HERE, AS DRAWN")
			}
			for _, want := range tt.has {
				if !strings.Contains(said, want) {
					t.Errorf("%s: the %s does not say %q", tt.reason, what, want)
				}
			}
			for _, not := range tt.hasNot {
				if _, list, ok := strings.Cut(said, "WRONG HERE"); strings.Contains(list, not) && ok && strings.Index(list, not) < strings.Index(list, "Rough-in") || not == "WRONG HERE" && ok {
					t.Errorf("%s: the %s says %q", tt.reason, what, not)
				}
			}
		}
	}
}
