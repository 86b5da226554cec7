package conductor

// Source says where a figure stands and how sure it is. It is part of every
// row, so that every figure of a result can be followed to its section.
type Source struct {
	Section    string     `json:"section"`           // "240.4(D)(3)", "T4D5"
	Edition    string     `json:"edition,omitempty"` // "2023"
	Confidence Confidence `json:"confidence,omitzero"`
}

// String returns "240.4(D)(3) (2023)", with the confidence where it is low.
func (s Source) String() string {
	text := s.Section
	if s.Edition != "" {
		text += " (" + s.Edition + ")"
	}
	if s.Confidence == LowConfidence {
		text += " [low confidence]"
	}
	return text
}

// Absent reports whether s is the zero Source: the table does not have the rule.
func (s Source) Absent() bool { return s == Source{} }

// Confidence is how well a figure was verified. A result that used a figure of
// low confidence says so.
type Confidence uint8

// Confidences. Zero is unset and refused.
const (
	HighConfidence Confidence = iota + 1
	MediumConfidence
	LowConfidence
)

var confidences = vocabulary{kind: "confidence", words: []string{"high", "medium", "low"}}

// String returns the word, or "unset" for zero.
func (c Confidence) String() string { return confidences.word(uint8(c)) }

// ParseConfidence returns the value of the word; the error lists the words.
func ParseConfidence(text string) (Confidence, error) {
	n, err := confidences.parse(text)
	return Confidence(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (c Confidence) MarshalText() ([]byte, error) { return confidences.marshal(uint8(c)) }

// UnmarshalText reads what ParseConfidence reads; on an error c is unchanged.
func (c *Confidence) UnmarshalText(text []byte) error {
	n, err := ParseConfidence(string(text))
	if err == nil {
		*c = n
	}
	return err
}
