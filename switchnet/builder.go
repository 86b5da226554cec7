package switchnet

import (
	"math"
	"slices"
	"strings"
)

// MaxParts is the most terminals that a net may have, the most conductors and the
// most splices.
const MaxParts = math.MaxInt32 / 4

// A Builder collects the parts of a net. The zero value is an empty builder.
// Its methods do not fail: [Builder.Build] reports everything that is wrong at
// once. A builder is not safe for concurrent use.
type Builder struct {
	sources    []Source
	devices    []Device
	loads      []Load
	points     []Terminal
	conductors []Conductor
	splices    []Splice
	late       problemList // wrong removals
}

// Source declares the supply. A net has exactly one.
func (b *Builder) Source(s Source) { b.sources = append(b.sources, s) }

// Device declares a device; its kind is copied at Build.
func (b *Builder) Device(place, name string, k Kind) {
	b.devices = append(b.devices, Device{Ref{place, name}, k})
}

// Load declares a load.
func (b *Builder) Load(l Load) { b.loads = append(b.loads, l) }

// Point declares terminals that belong to no device: the end of a conductor in a
// box, the grounding screw of a box or a yoke.
func (b *Builder) Point(ts ...Terminal) { b.points = append(b.points, ts...) }

// Conductor declares a conductor between two terminals declared elsewhere, before
// or after.
func (b *Builder) Conductor(name string, from, to Terminal) {
	b.conductors = append(b.conductors, Conductor{name, from, to})
}

// Splice declares that terminals are joined for good.
func (b *Builder) Splice(place, name string, joins ...Terminal) {
	b.splices = append(b.splices, Splice{Ref{place, name}, slices.Clone(joins)})
}

// RemoveConductor takes a declared conductor away again; the next Build reports
// a name that is not declared. This and the other removals take time linear in what
// is declared.
func (b *Builder) RemoveConductor(name string) {
	b.conductors = remove(b, b.conductors, "conductor "+quote(name), func(c Conductor) bool { return c.Name == name })
}

// RemoveSplice takes a declared splice away again.
func (b *Builder) RemoveSplice(place, name string) {
	r := Ref{place, name}
	b.splices = remove(b, b.splices, "splice "+quote(r.String()), func(s Splice) bool { return s.Ref == r })
}

// RemoveDevice takes a declared device away again. What was landed on it must be
// removed too, or declared again.
func (b *Builder) RemoveDevice(place, name string) {
	r := Ref{place, name}
	b.devices = remove(b, b.devices, "device "+quote(r.String()), func(d Device) bool { return d.Ref == r })
}

// RemoveLoad takes a declared load away again.
func (b *Builder) RemoveLoad(place, name string) {
	r := Ref{place, name}
	b.loads = remove(b, b.loads, "load "+quote(r.String()), func(l Load) bool { return l.Ref == r })
}

// RemovePoint takes a declared point away again.
func (b *Builder) RemovePoint(t Terminal) {
	b.points = remove(b, b.points, "point "+quote(t.String()), func(p Terminal) bool { return p == t })
}

func remove[T any](b *Builder, list []T, subject string, is func(T) bool) []T {
	out := slices.DeleteFunc(slices.Clone(list), is)
	if len(out) == len(list) {
		b.late.add(Unknown, subject, "is to be removed and was never declared")
	}
	return out
}

func quote(s string) string { return `"` + s + `"` }

// Build returns the net, or all mistakes as [Problems]. The builder stays as it
// was and may be added to and built again. Time and memory are linear in the
// number of terminals, but for sorting by name where the input is not sorted.
func (b *Builder) Build() (*Net, error) {
	a := &assembly{net: &Net{}}
	a.problems.list = slices.Clone(b.late.list)
	if a.size(b); len(a.problems.list) > len(b.late.list) {
		return nil, a.problems.sorted()
	}
	a.source(b.sources)
	a.parts(b)
	a.terminals(b.points)
	a.land()
	if len(a.problems.list) > 0 {
		return nil, a.problems.sorted()
	}
	a.contract()
	return a.net, nil
}

// sortedCopy returns a copy of list in order of compare, without sorting what is
// sorted already.
func sortedCopy[T any](list []T, compare func(a, b T) int) []T {
	out := slices.Clone(list)
	if !slices.IsSortedFunc(out, compare) {
		slices.SortStableFunc(out, compare)
	}
	return out
}

func compareConductors(a, b Conductor) int { return strings.Compare(a.Name, b.Name) }
