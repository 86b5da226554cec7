package conductor

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
)

// CableType is the make-up of a cable, or of a set of single conductors in a
// raceway: what it is called, how it is built and which conductors lie in it.
// [ParseCableType] knows the usual ones; a program may fill in any other.
type CableType struct {
	Name         string
	Construction Construction
	Material     Material
	Size         Size                 // of the circuit conductors
	Rating       quantity.Temperature // of the conductors' insulation
	Cores        []Core               // insulated circuit conductors first, grounding conductor last
}

// MaxCores is the most conductors of one cable, more than there are colours to tell
// them apart.
const MaxCores = 200

// Core is one conductor of a cable.
type Core struct {
	Colour    Colour
	Size      Size
	Grounding bool // the equipment grounding (protective) conductor
}

// Insulated reports whether the conductor is insulated.
func (c Core) Insulated() bool { return c.Colour.Main != Bare }

// Circuit returns how many conductors of the cable are no grounding conductor.
func (c CableType) Circuit() int {
	n := 0
	for _, core := range c.Cores {
		if !core.Grounding {
			n++
		}
	}
	return n
}

// GroundingSize returns the size of the grounding conductor, or the zero Size
// when the cable has none.
func (c CableType) GroundingSize() Size {
	for _, core := range c.Cores {
		if core.Grounding {
			return core.Size
		}
	}
	return Size{}
}

// Core returns the conductor of the given colour and whether there is one.
func (c CableType) Core(colour Colour) (Core, bool) {
	i := slices.IndexFunc(c.Cores, func(core Core) bool { return core.Colour == colour })
	if i < 0 {
		return Core{}, false
	}
	return c.Cores[i], true
}

// Check reports everything that is wrong with the make-up: no name, no
// construction, material, size, rating or conductor, more than [MaxCores] of them,
// a conductor without colour or size, two conductors of one colour (they could not
// be told apart). It returns nil for a sound one.
func (c CableType) Check() error {
	var errs errorList
	name := fmt.Sprintf("cable type %q", c.Name)
	errs.unless(c.Name != "", "cable type without a name")
	errs.unless(constructions.valid(uint8(c.Construction)), "%s: %s construction", name, c.Construction)
	errs.unless(materials.valid(uint8(c.Material)), "%s: %s material", name, c.Material)
	errs.unless(c.Size.Valid(), "%s: no conductor size", name)
	errs.unless(c.Rating > 0, "%s: no insulation temperature rating", name)
	errs.unless(len(c.Cores) > 0, "%s: no conductors", name)
	if len(c.Cores) > MaxCores {
		errs.add("%s: %d conductors; the limit is %d", name, len(c.Cores), MaxCores)
		return errs.join()
	}
	for i, core := range c.Cores {
		errs.unless(core.Colour.Valid(), "%s: conductor %d: %s is not a colour", name, i+1, core.Colour)
		errs.unless(core.Size.Valid(), "%s: conductor %d (%s): no size", name, i+1, core.Colour)
		for j, other := range c.Cores[:i] {
			errs.unless(core.Colour != other.Colour || !core.Colour.Valid(),
				"%s: conductors %d and %d are both %s; tell them apart by a stripe", name, j+1, i+1, core.Colour)
		}
	}
	return errs.join()
}

// equal reports whether two make-ups are the same.
func (c CableType) equal(d CableType) bool {
	return c.Name == d.Name && c.Construction == d.Construction && c.Material == d.Material &&
		c.Size == d.Size && c.Rating == d.Rating && slices.Equal(c.Cores, d.Cores)
}

// LooseConductors returns a set of single conductors for a raceway, one per
// colour in the order given. Green, green/yellow and bare ones are grounding
// conductors, of the same size as the others.
func LooseConductors(material Material, size Size, rating quantity.Temperature, colours ...Colour) CableType {
	c := CableType{Construction: Loose, Material: material, Size: size, Rating: rating}
	words := []string{"loose", size.String()}
	if material != Copper {
		words = append(words, material.String())
	}
	words = append(words, rating.InCelsius())
	for _, colour := range colours {
		grounding := colour == Plain(Bare) || colour == Plain(Green) || colour == Colour{Green, Yellow}
		c.Cores = append(c.Cores, Core{Colour: colour, Size: size, Grounding: grounding})
		words = append(words, colour.String())
	}
	c.Name = strings.Join(words, " ")
	return c
}
