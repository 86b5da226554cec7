package conductor

import (
	"errors"
	"fmt"
	"strings"
)

// Rule is one of the questions that sizing a circuit answers in turn. It names
// the rule behind a step, the constraint that binds, and what a region lacks.
type Rule uint8

// Rules, in the order in which a circuit is worked. Zero is unset and refused.
const (
	RuleContinuousLoad Rule = iota + 1
	RuleStandardRating
	RuleMinimumRating
	RuleLeastSize
	RuleTerminations
	RuleAmpacity // of the table, before correction and adjustment
	RuleAmbient
	RuleBundling
	RuleNonmetallic
	RuleCorrectedAmpacity
	RuleAtAmpacity
	RuleNextSizeUp
	RuleSmallConductor
	RuleFaultLoop
	RuleVoltageDrop
	RuleGrounding
	RuleGroundingIncrease
	RuleProtection
	RuleAsked // a wish of the question: a least size, a stock of sizes
)

var ruleWords = vocabulary{kind: "rule", words: []string{
	"continuous load", "standard rating", "minimum rating", "least size", "terminations", "ampacity", "ambient correction",
	"bundling adjustment", "nonmetallic cable limit", "corrected ampacity", "protection at ampacity", "next size up",
	"small conductor limit", "fault loop", "voltage drop", "grounding conductor", "grounding conductor increase",
	"protection by location", "size asked for",
}}

// String returns the word, or "unset" for zero.
func (r Rule) String() string { return ruleWords.word(uint8(r)) }

// ParseRule returns the value of the word; the error lists the words.
func ParseRule(text string) (Rule, error) {
	n, err := ruleWords.parse(text)
	return Rule(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (r Rule) MarshalText() ([]byte, error) { return ruleWords.marshal(uint8(r)) }

// UnmarshalText reads what ParseRule reads; on an error r is unchanged.
func (r *Rule) UnmarshalText(text []byte) error {
	n, err := ParseRule(string(text))
	if err == nil {
		*r = n
	}
	return err
}

// MissingRuleError refuses a question that needs a rule or a figure the region's
// table does not have.
type MissingRuleError struct {
	Region    string
	Rule      Rule
	Needed    string   // what was looked for: "a factor for 7 conductors"
	Why       string   // why the table has none, if it says
	Elsewhere []string // regions that have the rule, if the table says
}

func (e *MissingRuleError) Error() string {
	text := fmt.Sprintf("%s: the region %s has no %s", e.Rule, e.Region, e.Needed)
	if e.Why != "" {
		text += " (" + e.Why + ")"
	}
	if len(e.Elsewhere) > 0 {
		text += "; valid in " + strings.Join(e.Elsewhere, ", ") + ", not in " + e.Region
	}
	return text + "; ask the inspector, or supply the figure in a table of your own"
}

// UnknownNameError refuses a question that calls something by a name which the
// region's table does not know.
type UnknownNameError struct {
	Region string
	What   string   // "reference method"
	Name   string   // as the question has it, "" where it must name one and does not
	Known  []string // the names the table knows
}

func (e *UnknownNameError) Error() string {
	if e.Name == "" {
		return fmt.Sprintf("%s: none is given; name one that %s knows: %q", e.What, e.Region, e.Known)
	}
	return fmt.Sprintf("%s: %q is unknown; name one that %s knows: %q", e.What, e.Name, e.Region, e.Known)
}

// ErrNoSuchSize is in the error of a question about a size the region's table
// does not list.
var ErrNoSuchSize = errors.New("size not in the region's table")
