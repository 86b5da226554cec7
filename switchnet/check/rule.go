package check

import (
	"fmt"

	"example.com/switchleg/conductor/rules"
)

// A Code names a rule for good: codes are only ever added and never mean something
// else. The empty Code is unset.
type Code string

// A Topic says what sort of thing a rule is about. The zero Topic is unset.
type Topic uint8

// The topics.
const (
	Function    Topic = iota + 1 // it does not do what it should
	ShockFire                    // it can shock or burn
	Law                          // the region's code forbids it
	Workmanlike                  // it is poor work
)

var topicWords = [...]string{"", "function", "shock and fire", "law", "workmanship"}

// String returns the words: "shock and fire".
func (t Topic) String() string {
	if t < 1 || int(t) >= len(topicWords) {
		return fmt.Sprintf("Topic(%d)", uint8(t))
	}
	return topicWords[t]
}

// MarshalText writes the words; a topic that has none is an error.
func (t Topic) MarshalText() ([]byte, error) {
	if t < 1 || int(t) >= len(topicWords) {
		return nil, fmt.Errorf("check: %v has no words", t)
	}
	return []byte(topicWords[t]), nil
}

// A Rule is one question that a job is asked. A program may have rules of its own, with
// codes of its own, beside those of this package.
type Rule struct {
	Code  Code
	Topic Topic
	// Doc says in a sentence what a finding means.
	Doc string
	// Needs says what of the region the rule cannot do without; a suite for a
	// region that lacks it leaves the rule out. Nil means nothing.
	Needs func(*rules.Region) error
	// Yields are the codes of rules that say the same of the same load more
	// closely: where one of them finds, this one keeps silent.
	Yields []Code
	// Find reports to the pass whatever it finds. An error ends the check.
	Find func(*Pass) error
}
