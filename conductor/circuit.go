package conductor

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
)

// Load is what a circuit carries: the part that stays on for hours (three, in
// most regions) and the rest.
type Load struct {
	Continuous quantity.Current `json:"continuous,omitzero"`
	Other      quantity.Current `json:"other,omitzero"`
}

// Total returns the whole load.
func (l Load) Total() quantity.Current { return l.Continuous + l.Other }

// Bundle is what lies together with a circuit's conductors for long enough to
// warm them.
type Bundle struct {
	// Carrying is how many current-carrying conductors lie together, the
	// circuit's own included. 0 is only the circuit's own, at most three.
	Carrying int
	// Length is how far they lie together; 0 is the whole run.
	Length quantity.Length
	// Sealed is how many cables pass one opening that is sealed or foamed, or
	// lie unspaced in thermal insulation; 0 is none.
	Sealed int
}

// Loop is the earth fault loop outside the circuit, in regions that limit it.
type Loop struct {
	External quantity.Resistance // of the supply, up to the circuit's own conductors
	Curve    string              // of the breaker; "" asks nothing
	Earth    Size                // of the circuit's protective conductor
}

// Circuit is a circuit to be sized, or one to be judged. Every field whose zero
// is not explained must be set.
type Circuit struct {
	Load   Load
	Volts  quantity.Voltage // between the two conductors of the load; line to line when three-phase
	Phases int              // 3, or 1; 0 is 1

	// Run is the one-way length of the circuit to its farthest load. Path is the
	// length of conductor out and back, for circuits that do not return the way
	// they went, such as a switch loop; at most one of the two is set. With
	// neither, voltage drop and fault loop are not looked at.
	Run  quantity.Length
	Path quantity.Length

	Material     Material
	Construction Construction
	Insulation   quantity.Temperature // rating of the conductors' insulation
	Stranding    Stranding            // 0: whichever resists more
	Raceway      Raceway              // around the conductors, for impedance; 0: PVC

	// Terminations is the temperature every termination of the circuit is listed
	// for; 0 is not known, and the region's rule decides.
	Terminations quantity.Temperature
	// Ambient is the temperature of the air around the conductors. 0 is the base
	// of the region's tables; freezing itself cannot be stated.
	Ambient quantity.Temperature
	Bundle  Bundle
	Method  string // reference method, where the region's ampacities name one

	Receptacles bool // the circuit supplies receptacles for cord-and-plug loads, more than one

	Breaker     quantity.Current // rating of the overcurrent device; 0: the sizer proposes one
	LeastRating bool             // propose the least rating the region allows, even below the usual one
	AtLeast     Size             // smallest size wanted; the zero Size for none
	Stock       []Size           // sizes to choose from; nil for all of the region's

	DropMethod  DropMethod     // 0: the region's
	PowerFactor quantity.Ratio // of the load, lagging, for drop by impedance; 0 is 1
	DropUse     string         // which of the region's limits; "" for its usual one
	DropLimit   quantity.Ratio // a limit of one's own, in place of the region's; 0 for none
	LawOnly     bool           // do not enlarge conductors for a drop limit that is only advice

	Loop      Loop
	Location  string // what the circuit serves, for the protection it needs; "" asks nothing
	Grounding Size   // grounding conductor as found, for Judge; the zero Size is not judged
}

// OfCable returns c with the material, construction and insulation rating of the
// cable, and its grounding conductor as the loop's earth.
func (c Circuit) OfCable(cable CableType) Circuit {
	c.Material, c.Construction, c.Insulation = cable.Material, cable.Construction, cable.Rating
	c.Loop.Earth = cable.GroundingSize()
	return c
}

// phases returns 1 or 3.
func (c *Circuit) phases() int {
	if c.Phases == 3 {
		return 3
	}
	return 1
}

// hasLength reports whether the circuit has a length to drop voltage over.
func (c *Circuit) hasLength() bool { return c.Run > 0 || c.Path > 0 }

// Check reports every field that is malformed in itself, joined, or nil; what
// only a region can refuse is left to the sizer.
func (c *Circuit) Check() error {
	var errs errorList
	l := c.Load
	if l.Continuous > mostCurrent || l.Other > mostCurrent {
		errs.add("load: more than %s", mostCurrent)
	} else if l.Continuous < 0 || l.Other < 0 || l.Total() == 0 {
		errs.add("load: %s continuous and %s other; a load above zero is needed, and no part below", l.Continuous, l.Other)
	}
	c.checkRest(&errs)
	return errs.join()
}

// Bounds on what is asked, far beyond any house, that keep every product within
// what the arithmetic holds.
const (
	mostCurrent = 1000 * quantity.Kiloampere
	mostVolts   = 1000 * quantity.Kilovolt
	mostLength  = 1000 * quantity.Kilometer

	absoluteZero = -27315 * quantity.Celsius / 100
)

// checkRest checks everything but the load. Plain conditions, because a sound
// circuit must cost nothing here.
func (c *Circuit) checkRest(errs *errorList) {
	if c.Volts <= 0 || c.Volts > mostVolts {
		errs.add("volts: %s; write the voltage of the supply, above zero", c.Volts)
	}
	if c.Phases != 0 && c.Phases != 1 && c.Phases != 3 {
		errs.add("phases: %d; write 1 or 3", c.Phases)
	}
	if c.Run < 0 || c.Path < 0 || c.Run > mostLength || c.Path > mostLength {
		errs.add("length: run %s, path %s; neither is below zero or beyond %s", c.Run, c.Path, mostLength)
	}
	if c.Run != 0 && c.Path != 0 {
		errs.add("length: both run %s and path %s; write the one-way run or the path out and back", c.Run, c.Path)
	}
	if c.Path != 0 && c.phases() != 1 {
		errs.add("length: a path out and back on three phases; write the one-way run")
	}
	if !materials.valid(uint8(c.Material)) {
		errs.add("material: %s; write copper, aluminum or copper-clad aluminum", c.Material)
	}
	if !constructions.valid(uint8(c.Construction)) {
		errs.add("construction: %s; write how the conductors are held together", c.Construction)
	}
	if c.Insulation <= 0 {
		errs.add("insulation: %s; write the temperature rating of the insulation", c.Insulation)
	}
	if c.Stranding != 0 && !strandings.valid(uint8(c.Stranding)) {
		errs.add("stranding: %s", c.Stranding)
	}
	if c.Raceway != 0 && !raceways.valid(uint8(c.Raceway)) {
		errs.add("raceway: %s", c.Raceway)
	}
	if c.Terminations < 0 {
		errs.add("terminations: %s; write the temperature they are listed for", c.Terminations)
	}
	if c.Ambient < absoluteZero {
		errs.add("ambient: %s; nothing is colder than %s", c.Ambient, absoluteZero)
	}
	if c.Bundle.Carrying < 0 || c.Bundle.Sealed < 0 || c.Bundle.Length < 0 {
		errs.add("bundle: %d conductors, %d cables, %s; none may be below zero",
			c.Bundle.Carrying, c.Bundle.Sealed, c.Bundle.Length)
	} else if c.Bundle.Sealed > c.Bundle.Carrying {
		errs.add("bundle: %d cables sealed together but %d current-carrying conductors; count the conductors of all of them",
			c.Bundle.Sealed, c.Bundle.Carrying)
	}
	if c.Breaker < 0 || c.Breaker > mostCurrent {
		errs.add("breaker: %s", c.Breaker)
	}
	if c.DropMethod != 0 && !dropMethods.valid(uint8(c.DropMethod)) {
		errs.add("voltage drop method: %s", c.DropMethod)
	}
	if c.PowerFactor < 0 || c.PowerFactor > quantity.Whole {
		errs.add("power factor: %s; write a number above 0 and not above 1", c.PowerFactor.Factor())
	}
	if c.DropLimit < 0 || c.DropLimit >= quantity.Whole {
		errs.add("drop limit: %s; write a share above 0 and below 100 %%", c.DropLimit)
	}
	if c.Loop.External < 0 {
		errs.add("fault loop: external %s is below zero", c.Loop.External)
	}
	if c.Loop.Curve == "" && c.Loop.External != 0 {
		errs.add("fault loop: an external impedance without the trip curve of the breaker")
	}
	if c.Loop.Curve != "" && !c.hasLength() {
		errs.add("fault loop: needs the length of the run")
	}
	if c.Loop.Curve != "" && !c.Loop.Earth.Valid() {
		errs.add("fault loop: needs the size of the protective conductor")
	}
}

// CurrentOf returns the current that apparent power draws at a voltage, rounded
// up to the microampere; on three phases the voltage is line to line.
func CurrentOf(power quantity.ApparentPower, volts quantity.Voltage, phases int) (quantity.Current, error) {
	if power < 0 || volts <= 0 || phases != 1 && phases != 3 {
		return 0, fmt.Errorf("current of %s at %s on %d phases: power may not be below zero, the voltage must be above it, the phases 1 or 3", power, volts, phases)
	}
	f := new(fraction).times(int64(power)).times(microPerUnit).over(int64(volts))
	if phases == 3 {
		// Rounded up, so the divisor is the root rounded down.
		f.times(perWhole).over(rootThree - 1)
	}
	return quantity.Current(f.round(up)), nil
}

// ApparentOf returns the apparent power of a load of the given real power and
// power factor, rounded up to the microvolt-ampere.
func ApparentOf(power quantity.Power, factor quantity.Ratio) (quantity.ApparentPower, error) {
	if power < 0 || factor <= 0 || factor > quantity.Whole {
		return 0, fmt.Errorf("apparent power of %s at power factor %s: power may not be below zero, the factor must be above 0 and not above 1", power, factor.Factor())
	}
	return quantity.ApparentPower(new(fraction).times(int64(power)).times(perWhole).over(int64(factor)).round(up)), nil
}

const (
	microPerUnit = 1_000_000
	perWhole     = int64(quantity.Whole)
	rootThree    = 1_732_050_808 // the square root of three in billionths, rounded up
)
