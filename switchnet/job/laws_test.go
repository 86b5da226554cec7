package job_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// names draws names that YAML or the format itself might take for something else.
var names = rapid.SampledFrom([]string{"loft", "slip-door", "no", "010", "a.b", "C1", "aisle", "yes, no", "a: b", "'", "\"x\"", "é", "# x", "[x]", "ground", "box 2", "true", "~", "1e3", "- x", "*x", "&x"})

// drawWiring draws a wiring that contradicts itself nowhere: boxes in a row, a cable
// between each two, a device in each, and its ends put somewhere at random.
func drawWiring(t *rapid.T) wiring.Spec {
	s := wiring.Spec{
		Supply:    rapid.SampledFrom([]switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}).Draw(t, "supply"),
		Installed: rapid.SampledFrom([]int{0, 1955, 2021}).Draw(t, "installed"),
	}
	n := rapid.IntRange(1, 6).Draw(t, "boxes")
	name := func(kind string, i int) string { return fmt.Sprintf("%s %s%d", names.Draw(t, kind), kind, i) }
	length := rapid.Map(rapid.Int64Range(0, 1_000_000), func(n int64) quantity.Length { return quantity.Length(n) * 127 * quantity.Millimeter / 1000 })
	var own switchnet.Kind
	for _, k := range switchnet.Kinds() {
		if k.Name == "pilot-lit single-pole" {
			own = k.Clone()
		}
	}
	own.Name = name("kind", 0)
	kinds := []switchnet.Kind{switchnet.ThreeWay(), switchnet.FourWay(), switchnet.SinglePole(), own}
	for i := range n {
		b := wiring.Box{Name: name("box", i), Kind: wiring.DeviceBox, Metal: rapid.Bool().Draw(t, "metal"), Placed: rapid.Bool().Draw(t, "placed")}
		if b.Placed {
			b.At = [3]quantity.Length{length.Draw(t, "at"), -length.Draw(t, "at"), 0}
		}
		b.NailSide = wiring.Side(rapid.IntRange(0, 2).Draw(t, "nail side"))
		if b.Door = wiring.DoorSide(rapid.IntRange(0, 2).Draw(t, "door")); b.Door != 0 {
			b.DoorOpens = wiring.DoorSwing(rapid.IntRange(0, 2).Draw(t, "door opens"))
		}
		b.Location = strings.TrimSpace(names.Draw(t, "location"))
		s.Boxes = append(s.Boxes, b)
		s.Devices = append(s.Devices, wiring.Device{Name: name("device", i), Box: b.Name, Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Depth: length.Draw(t, "depth"),
			Protection: rapid.SampledFrom([][]conductor.ProtectionKind{nil, {conductor.GroundFault}, {conductor.ArcFault, conductor.ResidualCurrent}}).Draw(t, "protection")})
	}
	s.Feeds = []wiring.Feed{{Name: name("feed", 0), Box: s.Boxes[0].Name, Breaker: 15 * quantity.Ampere}}
	for i := range n {
		c := wiring.Cable{Name: name("cable", i), From: s.Boxes[i].Name, Length: length.Draw(t, "length")}
		c.Bored = rapid.SliceOfN(rapid.Map(length, func(l quantity.Length) quantity.Length { return min(l+quantity.Millimeter, wiring.MaxEdge) }), 0, 3).Draw(t, "bored")
		c.Notches = rapid.IntRange(0, 3).Draw(t, "notches")
		c.Apart = length.Draw(t, "apart")
		for e := range c.Entries {
			if e == 1 && i+1 == n {
				break // an end that nobody has found
			}
			v := wiring.Entry{Support: length.Draw(t, "support"), SheathStated: rapid.Bool().Draw(t, "sheath stated"), Free: length.Draw(t, "free")}
			if v.SheathStated {
				v.Sheath = length.Draw(t, "sheath")
			}
			if rapid.Bool().Draw(t, "along stated") {
				v.Along = v.Support + length.Draw(t, "along")
			}
			c.Entries[e] = v
		}
		if c.Length > 0 {
			for _, v := range c.Entries {
				c.Length = max(c.Length, c.Apart, v.Support, v.Along, v.Sheath+v.Free)
			}
		}
		if i+1 < n {
			c.To = s.Boxes[i+1].Name
		}
		kind, err := conductor.ParseCableType(rapid.SampledFrom([]string{"14/2", "14/3", "12/2 metal-clad", "14/2 without ground", "1.5 mm2 twin and earth, old colours"}).Draw(t, "type"))
		if err != nil {
			t.Fatal(err)
		}
		if rapid.Bool().Draw(t, "recoloured") {
			kind.Cores[0].Colour = conductor.Colour{Main: conductor.White, Stripe: conductor.Orange}
		}
		c.Type = kind
		s.Cables = append(s.Cables, c)
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		for _, core := range c.Type.Cores {
			w := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			if rapid.IntRange(0, 5).Draw(t, "open") == 0 {
				s.Opens = append(s.Opens, w)
			}
			for e, box := range []string{c.From, c.To} {
				if box == "" {
					continue
				}
				d := s.Devices[i+e]
				terminal := rapid.SampledFrom(d.Kind.Terminals).Draw(t, "terminal")
				switch rapid.IntRange(0, 4).Draw(t, "use") {
				case 0:
					s.Landings = append(s.Landings, wiring.Landing{Box: box, Device: d.Name, Terminal: terminal, Wire: w})
				case 1:
					s.Splices = append(s.Splices, wiring.Splice{Box: box, Join: []wiring.Joint{{Wire: w}, {Device: d.Name, Terminal: terminal}}})
				case 2:
					s.Caps = append(s.Caps, wiring.Cap{Box: box, Wire: w})
				case 3:
					s.Ties = append(s.Ties, wiring.Tie{Box: box, A: wiring.Joint{Wire: w}, B: wiring.Joint{Device: d.Name, Terminal: terminal}})
				}
				if rapid.Bool().Draw(t, "tagged") {
					s.Tags = append(s.Tags, wiring.Tag{Box: box, Wire: w, Text: names.Draw(t, "says")})
					s.Marks = append(s.Marks, wiring.Mark{Box: box, Wire: w, As: conductor.Plain(conductor.Blue)})
				}
			}
		}
	}
	return s
}

// A wiring that a program made is the same after it was written and read.
func TestWrittenWiringReadsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &job.File{Title: names.Draw(t, "title"), Rules: "us-2023", Wiring: drawWiring(t)}
		if _, err := wiring.New(f.Wiring); err != nil {
			t.Skip("the wiring drawn contradicts itself, as where two pieces touch twice, so there is none to write:", err)
		}
		out, err := job.Marshal(f, options())
		if err != nil {
			t.Fatal(err)
		}
		g, err := job.Parse("job.yaml", out, options())
		if err != nil {
			t.Fatal(err)
		}
		if !f.Equal(g) {
			t.Fatalf("it reads otherwise:\n%s", out)
		}
		if again, err := job.Marshal(g, options()); err != nil || !bytes.Equal(again, out) {
			t.Fatalf("writing twice changes it: %v", err)
		}
		if again, err := job.Format("job.yaml", out, options()); err != nil || !bytes.Equal(again, out) {
			t.Fatalf("what is written is not in the canonical layout: %v\n%s", err, again)
		}
	})
}

// The order of the keys of a file, and of those of its entries, says nothing.
func TestOrderOfKeysSaysNothing(t *testing.T) {
	src, err := os.ReadFile("testdata/canonical.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want := parse(t, "canonical.yaml", src)
	var top []string // the text from one key of the file to the next
	for _, line := range strings.SplitAfter(string(src), "\n") {
		if line != "" && line[0] >= 'a' && line[0] <= 'z' {
			top = append(top, "")
		}
		top[len(top)-1] += line
	}
	rapid.Check(t, func(t *rapid.T) {
		rest := rapid.Permutation(top[1:]).Draw(t, "order")
		f, err := job.Parse("shuffled.yaml", []byte(top[0]+strings.Join(rest, "")), options())
		if err != nil {
			t.Fatal(err)
		}
		if !f.Equal(want) {
			t.Fatal("it reads otherwise")
		}
	})
}

// The problems of a file with its lists in another order are the same, each at its
// new place.
func TestOrderOfProblems(t *testing.T) {
	lists := []string{
		"boxes:\n  - {name: loft, kind: devise}\n  - {name: panel, kind: panel}\n",
		"feeds:\n  - {name: lights, box: panle, breaker: 15}\n",
		"devices:\n  - {name: aisle, box: loft, kind: three}\n  - {name: aisle, box: loft, kind: four-way}\n",
		"cables:\n  - {name: C1, type: 14/2, from: panel, to: lofft}\n",
	}
	messages := func(t *rapid.T, src string) map[string]int {
		_, err := job.Parse("wrong.yaml", []byte(head+src), options())
		errs, ok := err.(*job.Errors)
		if !ok {
			t.Fatal(err)
		}
		out := map[string]int{}
		for i, p := range errs.List {
			out[p.Found]++
			if i > 0 && p.Before(errs.List[i-1].Pos) {
				t.Fatalf("not in file order:\n%v", err)
			}
		}
		return out
	}
	rapid.Check(t, func(t *rapid.T) {
		want := messages(t, strings.Join(lists, ""))
		got := messages(t, strings.Join(rapid.Permutation(lists).Draw(t, "order"), ""))
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("got %v, want %v", got, want)
		}
	})
}
