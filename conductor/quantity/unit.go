package quantity

// maxText bounds the text a parser looks at. The longest exact rendering of
// any value is far shorter.
const maxText = 64

// unit is one unit of a dimension. The first spelling is the one printed.
type unit struct {
	size  int64 // base units in one of this unit
	zero  int64 // where this unit reads zero, in base units: 0 or, for Fahrenheit, less
	quiet bool  // never chosen by String, only read and printed on request
	spell []string
}

// dimension is everything the shared parser and printer know of one type.
// Units stand in order of preference for String. Dimensions are read only.
type dimension struct {
	noun    string // "length", as error messages name it
	example string
	units   []unit
}

// unitOf returns the unit of d whose size is size. A size that is no unit of d
// gets the first unit, so that what is printed still carries its own unit.
func (d *dimension) unitOf(size int64) *unit {
	for i := range d.units {
		if d.units[i].size == size {
			return &d.units[i]
		}
	}
	return &d.units[0]
}

// printed returns the spelling of every unit as printed, in table order.
func (d *dimension) printed() []string {
	var names []string
	for _, u := range d.units {
		if u.spell[0] != "" {
			names = append(names, u.spell[0])
		}
	}
	return names
}

// Quantity is the set of quantity types of this package.
type Quantity interface {
	Volume | Length | Area | CircularMils | Voltage | Current | Power | ApparentPower |
		Resistance | ResistancePerLength | VoltDropRate | CapacitancePerLength | Temperature | Ratio
}
