package draw

import (
	"strings"
	"testing"
)

// Between them the parts of a picture show what the whole does, every conductor once and on
// the same pin, each part clean and no taller than asked unless one thing alone is.
func TestBoxParts(t *testing.T) {
	parted := 0
	for seed := range uint64(12) {
		w := drawWiring(t, seeded(1000+seed), limits{boxes: 1, cables: 14, devices: 8})
		d := New(w)
		for _, b := range w.Spec().Boxes {
			whole, err := d.Box(b.Name, &Options{Width: Page})
			if err != nil {
				t.Fatal(err)
			}
			_, tall := whole.Size()
			for _, height := range []int{300, 900, tall} {
				parts, err := d.BoxParts(b.Name, &Options{Width: Page}, height)
				if err != nil {
					t.Fatal(err)
				}
				if height >= tall {
					if len(parts) != 1 || svgOf(t, parts[0]) != svgOf(t, whole) {
						t.Errorf("seed %d: a box of %d px is not whole at %d", seed, tall, height)
					}
					continue
				}
				parted++
				ends := map[string]string{}
				for i, p := range parts {
					wantClean(t, p)
					things := map[string]bool{} // on which its conductors end
					for _, x := range p.scene.wires {
						if f := strings.Split(x.to, "\x00"); x.name != "pigtail" && f[0] != "end" {
							things[f[0]+f[1]] = true
						}
					}
					if _, h := p.Size(); h > height && len(things) > 1 {
						t.Errorf("seed %d: part %d is %d px high, want at most %d", seed, i+1, h, height)
					}
					if len(parts) > 1 && !strings.Contains(p.Title(), "part") {
						t.Errorf("seed %d: a part is called %q", seed, p.Title())
					}
					for _, x := range p.scene.wires {
						if x.name == "pigtail" {
							continue
						}
						if ends[x.name] != "" {
							t.Errorf("seed %d: %s is in two parts", seed, x.name)
						}
						ends[x.name] = x.to
					}
				}
				for _, x := range whole.scene.wires {
					if x.name != "pigtail" && ends[x.name] != x.to {
						t.Errorf("seed %d at %d: %s ends on %q in the parts, %q in the whole", seed, height, x.name, ends[x.name], x.to)
					}
				}
			}
		}
	}
	if parted < 12 {
		t.Errorf("%d pictures were parted, of boxes that are as full as they come", parted)
	}
	if _, err := New(shed(t)).BoxParts("moon", nil, 900); err == nil {
		t.Error("there is a picture of a box that there is not")
	}
}
