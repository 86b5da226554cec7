package steady

import (
	"fmt"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
)

// Temperatures in degrees Celsius at which the resistance of a metal, followed
// down in a straight line from ordinary temperatures, would be zero. They are the
// same statement as the coefficients 0.00323 and 0.00330 at 75 degrees under NEC
// Chapter 9 Table 8. Copper-clad aluminum is mostly aluminum.
const (
	zeroCopper   = 234.5
	zeroAluminum = 228.1
)

// figures finds the impedance of a conductor per meter in a region's table.
type figures struct {
	table *conductor.Table
	opt   *Options
	hertz float64
	known map[conductorFigure]complex128
}

type conductorFigure struct {
	material conductor.Material
	size     conductor.Size
}

// method returns the figure to use.
func (f *figures) method() conductor.DropMethod {
	switch {
	case f.opt.Method != 0:
		return f.opt.Method
	case f.table.DropMethod != 0:
		return f.table.DropMethod
	}
	return conductor.ByResistance
}

// perMeter returns ohms per meter of one conductor.
func (f *figures) perMeter(material conductor.Material, size conductor.Size) (complex128, error) {
	key := conductorFigure{material, size}
	if z, ok := f.known[key]; ok {
		return z, nil
	}
	z, err := f.lookUp(material, size)
	if err == nil && !(real(z) > 0) {
		err = fmt.Errorf("the resistance of %s %s in table %s is not above zero", size, material, f.table.Region)
	}
	if err == nil {
		f.known[key] = z
	}
	return z, err
}

func (f *figures) lookUp(material conductor.Material, size conductor.Size) (complex128, error) {
	lacks := func(what string) error {
		return fmt.Errorf("table %q has no %s for %s %s; choose another Options.Method or another table", f.table.Region, what, size, material)
	}
	m := f.method()
	if f.opt.Temperature != 0 && m != conductor.ByResistance {
		return 0, fmt.Errorf("a conductor temperature serves with Options.Method %s only; the method is %s", conductor.ByResistance, m)
	}
	switch m {
	case conductor.ByResistance:
		if ohms := f.worstResistance(material, size); ohms > 0 {
			return complex(ohms, 0), nil
		}
		return 0, lacks("resistance")
	case conductor.ByImpedance:
		raceway := f.opt.Raceway
		if raceway == 0 {
			raceway = conductor.PVC
		}
		for _, row := range f.table.Impedances {
			if row.Material == material && row.Size == size && row.Raceway == raceway {
				// Tables state reactance at the frequency of their country,
				// and those there are state it at 60 Hz (NEC Chapter 9
				// Table 9).
				return complex(row.Resistance.OhmsPerMeter(), row.Reactance.OhmsPerMeter()*f.hertz/60), nil
			}
		}
		return 0, lacks("impedance in " + raceway.String())
	case conductor.ByConstant:
		for _, row := range f.table.Constants {
			if row.Material != material {
				continue
			}
			for _, s := range f.table.Sizes {
				if s.Size == size && s.Area > 0 {
					return complex(row.K.OhmsPerMeter()/float64(s.Area), 0), nil
				}
			}
			return 0, lacks("area in circular mils")
		}
		return 0, lacks("voltage drop constant")
	case conductor.ByRate:
		for _, row := range f.table.DropRates {
			if row.Size == size {
				// Out and back together, so half for each.
				return complex(float64(row.Rate)/float64(conductorPair*voltsPerAmpereMeter), 0), nil
			}
		}
		return 0, lacks("voltage drop rate")
	}
	return 0, fmt.Errorf("Options.Method is %s", m)
}

const (
	conductorPair       = 2
	voltsPerAmpereMeter = 1000 * quantity.MillivoltPerAmpereMeter
)

// worstResistance returns the most of the rows of the highest temperature, brought
// to the temperature asked for; 0 if there is no row.
func (f *figures) worstResistance(material conductor.Material, size conductor.Size) float64 {
	worst := 0.0
	var at quantity.Temperature
	for _, row := range f.table.Resistances {
		if row.Material != material || row.Size != size || f.opt.Stranding != 0 && row.Stranding != f.opt.Stranding {
			continue
		}
		ohms := row.Resistance.OhmsPerMeter()
		if f.opt.Temperature != 0 {
			zero := zeroAluminum
			if material == conductor.Copper {
				zero = zeroCopper
			}
			ohms *= (f.opt.Temperature.DegreesCelsius() + zero) / (row.At.DegreesCelsius() + zero)
		}
		if row.At > at || row.At == at && ohms > worst {
			worst, at = ohms, row.At
		}
	}
	return worst
}
