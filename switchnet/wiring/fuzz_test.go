package wiring_test

import (
	"errors"
	"reflect"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// corrupt overwrites a few things of a Spec, whatever they are: a name with another
// or with none, a number with one that makes no sense, a list with none or twice the
// same.
func corrupt(s *wiring.Spec, choose func(n int) int) {
	for range choose(5) {
		v := reflect.ValueOf(s).Elem()
		for {
			switch v.Kind() {
			case reflect.Struct:
				v = v.Field(choose(v.NumField()))
				continue
			case reflect.Array:
				v = v.Index(choose(v.Len()))
				continue
			case reflect.Slice:
				switch n := choose(8); {
				case !v.CanSet():
				case n == 7:
					v.SetZero()
				case n == 6 && v.Len() > 0:
					v.Set(reflect.Append(v, v.Index(choose(v.Len()))))
				case n == 5:
					v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
				}
				if v.Len() > 0 {
					v = v.Index(choose(v.Len()))
					continue
				}
			case reflect.String:
				names := []string{"", "box", "panel", "store", "loft", "ground", "hot", "C1", "C2", "red", "white", "aisle", "stair", "lamp", "\xff", " x",
					wiring.UnknownPlace("C1"), "aisle pilot", "three-way", "feed breaker", "a\nb", "traveler 1", "service"}
				if v.CanSet() {
					v.SetString(names[choose(len(names))])
				}
			case reflect.Bool:
				if v.CanSet() {
					v.SetBool(!v.Bool())
				}
			case reflect.Int, reflect.Int64:
				if n := []int64{0, 1, -1, 2, 3, 7, 255, 1 << 40, 1<<63 - 1, -1 << 63}; v.CanSet() {
					v.SetInt(n[choose(len(n))])
				}
			case reflect.Uint8:
				if n := []uint64{0, 1, 2, 3, 4, 5, 6, 13, 255}; v.CanSet() {
					v.SetUint(n[choose(len(n))])
				}
			}
			break
		}
	}
}

// checkSpec makes a wiring of any Spec and asks it everything. Whatever is refused is
// refused as Problems, each with a place of a list that exists.
func checkSpec(t *testing.T, s wiring.Spec) (made bool) {
	w, err := wiring.New(s)
	if err != nil {
		var ps wiring.Problems
		if !errors.As(err, &ps) || len(ps) == 0 || w != nil {
			t.Fatalf("%T: %v", err, err)
		}
		for i, p := range ps {
			if p.Detail == "" || len(p.Candidates) > wiring.MaxCandidates || !exists(s, p.At) || p.Also != nil && !exists(s, *p.Also) {
				t.Fatalf("problem %d: %+v", i, p)
			}
		}
		return false
	}
	for wire, f := range w.Functions() {
		again, ok := w.Function(wire)
		if _, err := f.Kind.MarshalText(); err != nil || !ok || again.Kind != f.Kind || f.String() == "" {
			t.Fatalf("%s: %v, %v, %v", wire, f, again, err)
		}
	}
	for _, b := range s.Boxes {
		if _, err := w.Contents(b.Name); (err == nil) == (b.Kind == wiring.Panel) {
			t.Fatalf("%q: %v", b.Name, err)
		}
		for _, e := range w.Ends(b.Name) {
			if _, ok := w.Use(e); !ok {
				t.Fatalf("%v has no use", e)
			}
		}
	}
	for _, c := range w.Circuits() {
		if len(c.Lights) != len(c.Routes) || c.Volts <= 0 || c.Power < 0 {
			t.Fatalf("%+v", c)
		}
		for _, r := range c.Routes {
			if r.Length() < 0 {
				t.Fatalf("%+v", r)
			}
		}
		_, _ = w.Question(c) // an error is an answer
	}
	if _, err := w.Net().NewSolver().Solve(w.Net().Rest()); err != nil {
		t.Fatal(err)
	}
	if _, err := wiring.New(w.Spec()); err != nil {
		t.Fatalf("it is refused when it comes back: %v", err)
	}
	return true
}

// exists reports whether a Ref is of an entry of the Spec.
func exists(s wiring.Spec, r wiring.Ref) bool {
	if r.List == "supply" || r.List == "installed" {
		return r.Index == 0
	}
	n := map[string]int{"feeds": len(s.Feeds), "boxes": len(s.Boxes), "lights": len(s.Lights), "devices": len(s.Devices), "cables": len(s.Cables),
		"splices": len(s.Splices), "landings": len(s.Landings), "caps": len(s.Caps), "marks": len(s.Marks), "tags": len(s.Tags), "opens": len(s.Opens), "ties": len(s.Ties)}
	return r.Index >= 0 && r.Index < n[r.List]
}

// FuzzSpec turns bytes into a Spec, sound or corrupt, which never makes New panic.
func FuzzSpec(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{0, 0, 2, 1, 9, 4})
	f.Add([]byte{1, 3, 5, 2, 1, 0, 7, 7, 3, 4, 2, 8, 8, 1, 3, 200, 41, 5})
	f.Add([]byte{8, 0, 2, 1, 3, 1, 1, 2, 4, 6, 3, 3, 3, 3, 4, 2, 5, 1, 9, 6, 3, 5, 2, 2, 2, 1, 7, 9, 31, 22, 45, 3, 2, 1, 0, 4, 5, 6, 7, 8, 9, 10})
	f.Fuzz(func(t *testing.T, data []byte) {
		choose := spelled(data)
		s := draw(t, choose)
		if !checkSpec(t, s) {
			t.Fatal("what is drawn is refused")
		}
		corrupt(&s, choose)
		checkSpec(t, s)
	})
}

// The same from seeds, in the ordinary test: some of the corrupt ones are refused,
// and some are not.
func TestCorruptSpecs(t *testing.T) {
	made, refused := 0, 0
	for seed := range uint64(1500) {
		choose := seeded(seed)
		s := draw(t, choose)
		corrupt(&s, choose)
		if checkSpec(t, s) {
			made++
		} else {
			refused++
		}
	}
	if made < 200 || refused < 200 {
		t.Errorf("%d were made and %d refused", made, refused)
	}
}

// A Spec of nothing but zeros is refused for each of them.
func TestZeroEntries(t *testing.T) {
	s := wiring.Spec{Supply: switchnet.SplitPhase(), Feeds: make([]wiring.Feed, 2), Boxes: make([]wiring.Box, 2), Lights: make([]wiring.Light, 2),
		Devices: make([]wiring.Device, 2), Cables: make([]wiring.Cable, 2), Splices: make([]wiring.Splice, 2), Landings: make([]wiring.Landing, 2),
		Caps: make([]wiring.Cap, 2), Marks: make([]wiring.Mark, 2), Tags: make([]wiring.Tag, 2), Opens: make([]wiring.Wire, 2), Ties: make([]wiring.Tie, 2)}
	_, err := wiring.New(s)
	var ps wiring.Problems
	errors.As(err, &ps)
	said := map[wiring.Ref]bool{}
	for _, p := range ps {
		said[wiring.Ref{List: p.At.List, Index: p.At.Index}] = true
	}
	if len(said) != 24 {
		// Two devices of one wrong kind are told of it once, and each of its box.
		t.Errorf("%d of 24 entries have a problem:\n%v", len(said), err)
	}
	if checkSpec(t, s) {
		t.Error("it was made")
	}
}
