// Package dense holds a switched net with its names taken off: what the
// solvers run on.
//
// Fixed conductors and splices are already contracted: all terminals that they
// join for good are one net. Nets, devices and loads are numbered from 0 in the
// name order of the net they came from, so a result expressed in these numbers
// does not depend on the order in which things were declared. The numbers never
// leave the module.
package dense

// Rails is a set of supply rails, one bit each.
type Rails uint8

// The bits of a Rails set.
const (
	LineA Rails = 1 << iota
	LineB
	LineC
	Neutral
	Ground
)

// Potentials folds neutral and ground together, since both stand at the
// potential of earth, and leaves the lines apart.
func (r Rails) Potentials() Rails {
	if r&Ground != 0 {
		r = r&^Ground | Neutral
	}
	return r
}

// Conflict reports whether the set joins rails of different potential.
func (r Rails) Conflict() bool {
	p := r.Potentials()
	return p&(p-1) != 0
}

// Kind is what a device does: for each position, which of its terminals are
// joined.
type Kind struct {
	// Arity is the number of terminals.
	Arity int
	// Blocks[p][t] is the block of terminal t in position p. Blocks are
	// numbered from 0 in the order of their first terminal, so equal
	// partitions are equal slices.
	Blocks [][]uint8
	// Joins[p] lists every pair of terminals that position p joins, so that a
	// terminal on a rail, which joins nothing, does not hide the others.
	Joins [][][2]uint8
	// Breaker tells a device that protects from one that switches.
	Breaker bool
}

// Graph is a contracted net. All slices are read-only.
type Graph struct {
	// NetRails[n] is the set of rails fixed to net n; most are 0.
	NetRails []Rails
	// Kinds are the distinct device kinds.
	Kinds []Kind
	// DeviceKind[d] indexes Kinds.
	DeviceKind []int32
	// DeviceNets[DeviceStart[d]:DeviceStart[d+1]] are the nets on which the
	// terminals of device d land, in the terminal order of its kind.
	DeviceStart []int32
	DeviceNets  []int32
	// LoadNets[l] are the nets of the two ends of load l.
	LoadNets [][2]int32
}

// Nets returns the number of nets.
func (g *Graph) Nets() int { return len(g.NetRails) }

// Devices returns the number of devices.
func (g *Graph) Devices() int { return len(g.DeviceKind) }

// Terminals returns the nets of the terminals of device d, in kind order.
func (g *Graph) Terminals(d int) []int32 {
	return g.DeviceNets[g.DeviceStart[d]:g.DeviceStart[d+1]]
}

// Kind returns the kind of device d.
func (g *Graph) Kind(d int) *Kind { return &g.Kinds[g.DeviceKind[d]] }
