package check

import (
	"fmt"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
)

// A Finding is one thing that is wrong with a job.
type Finding struct {
	Code  Code
	Place Place
	// About is the light, device or feed that it is about, where it is about one. It
	// tells two findings of one code and place apart, and a rule that yields to
	// another does so for what both are about.
	About switchnet.Ref
	// Related are other places that have to do with it, in name order.
	Related []Place
	// Message says what is wrong in a sentence. The text is for reading and not
	// stable; Code is the contract.
	Message string
	// Section is the rule of the region that it breaks; absent where the region
	// states none.
	Section conductor.Source
	// Witness are the states that show it, none where it shows in every state.
	Witness []Witness
	// Standing says how it is to be taken.
	Standing Standing
	// Fixes are ways to cure it, each applied and checked again: the finding is
	// gone and no other has come. None means that no step and no two steps of those
	// that were tried do, not that there are none. What the rule proposes comes
	// first, then single steps, those nearest to the place first, and only where no
	// single step does, pairs of steps. A rule that reports a finding puts here what
	// it proposes.
	Fixes []Fix
	// ByHand reports that no step on the wiring can cure it, so that none is searched
	// for: it takes another support, a longer sheath, a device that protects or carries
	// more, a cable of other colours.
	ByHand bool

	propose []Fix   // fixes to be tried before others
	amount  float64 // how bad it is, where a fix could make it worse: 0 if it has no measure
	year    int     // in which it was put in, if not that of its cable or of the job
	since   int     // the first edition that has the rule; 0 not known
	silent  bool    // something else that is found is the reason
}

// A Doubt is what a rule cannot tell of a job, because the region is not sure of it or
// because no job states it: a question for the inspector, and no finding.
type Doubt struct {
	Code  Code
	Place Place
	// Message says what is in doubt, as "whether ...". The text is for reading and not
	// stable.
	Message string
	// Section is where the region deals with it; absent where it states none.
	Section conductor.Source
}

// A Witness is a state that shows a finding.
type Witness struct {
	// State is a state of the wiring that was checked.
	State switchnet.State
	// Says names the positions that matter: "yard-door up, stair-foot down".
	Says string
}

// A Standing says how a finding is to be taken.
type Standing uint8

// The standings. The zero Standing is unset.
const (
	// Hazardous: it can shock or burn, whatever the law of its day said.
	Hazardous Standing = iota + 1
	// Unlawful: the job is new, or nobody says how old it is, and it breaks a rule
	// of the region.
	Unlawful
	// UnlawfulWhenInstalled: the rule was in force in the year of installation. A
	// rule of which the region does not say since when it is in force is taken to
	// have been.
	UnlawfulWhenInstalled
	// UnlawfulOnlyIfNew: the rule came later than the installation, which may stay
	// unless other work brings it under the new rule. An edition is taken to be in
	// force from its own year; adoption was often later.
	UnlawfulOnlyIfNew
	// Defect: it does not do what is wanted, or is poor work.
	Defect
)

var standingWords = [...]string{"", "hazardous", "unlawful", "unlawful when installed", "unlawful only if new", "defect"}

// String returns the words: "unlawful only if new".
func (s Standing) String() string {
	if s < 1 || int(s) >= len(standingWords) {
		return fmt.Sprintf("Standing(%d)", uint8(s))
	}
	return standingWords[s]
}

// MarshalText writes the words; a standing that has none is an error.
func (s Standing) MarshalText() ([]byte, error) {
	if s < 1 || int(s) >= len(standingWords) {
		return nil, fmt.Errorf("check: %v has no words", s)
	}
	return []byte(standingWords[s]), nil
}
