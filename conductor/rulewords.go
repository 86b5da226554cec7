package conductor

// OvercurrentKind is what a standard overcurrent rating is made as.
type OvercurrentKind uint8

// Overcurrent kinds. Zero is unset and refused.
const (
	BreakerOrFuse OvercurrentKind = iota + 1
	FuseOnly
)

var overcurrentKinds = vocabulary{kind: "overcurrent device kind", words: []string{"breaker or fuse", "fuse only"}}

// String returns the word, or "unset" for zero.
func (k OvercurrentKind) String() string { return overcurrentKinds.word(uint8(k)) }

// ParseOvercurrentKind returns the value of the word; the error lists the words.
func ParseOvercurrentKind(text string) (OvercurrentKind, error) {
	n, err := overcurrentKinds.parse(text)
	return OvercurrentKind(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (k OvercurrentKind) MarshalText() ([]byte, error) { return overcurrentKinds.marshal(uint8(k)) }

// UnmarshalText reads what ParseOvercurrentKind reads; on an error k is unchanged.
func (k *OvercurrentKind) UnmarshalText(text []byte) error {
	n, err := ParseOvercurrentKind(string(text))
	if err == nil {
		*k = n
	}
	return err
}

// Force says whether a limit binds or advises.
type Force uint8

// Forces. Zero is unset and refused.
const (
	Advice  Force = iota + 1 // recommended, not enforceable
	Binding                  // a rule
)

var forces = vocabulary{kind: "force", words: []string{"advice", "rule"}}

// String returns the word, or "unset" for zero.
func (f Force) String() string { return forces.word(uint8(f)) }

// ParseForce returns the value of the word; the error lists the words.
func ParseForce(text string) (Force, error) {
	n, err := forces.parse(text)
	return Force(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (f Force) MarshalText() ([]byte, error) { return forces.marshal(uint8(f)) }

// UnmarshalText reads what ParseForce reads; on an error f is unchanged.
func (f *Force) UnmarshalText(text []byte) error {
	n, err := ParseForce(string(text))
	if err == nil {
		*f = n
	}
	return err
}

// GroundingBasis is how a grounding conductor grows with its circuit.
type GroundingBasis uint8

// Grounding bases. Zero is unset and refused.
const (
	// ByArea grows it in proportion to the circular mils of the circuit
	// conductors.
	ByArea GroundingBasis = iota + 1
	// ByAmpacity looks it up by the ampacity of the conductors installed.
	ByAmpacity
)

var groundingBases = vocabulary{kind: "grounding conductor basis", words: []string{"area", "ampacity"}}

// String returns the word, or "unset" for zero.
func (b GroundingBasis) String() string { return groundingBases.word(uint8(b)) }

// ParseGroundingBasis returns the value of the word; the error lists the words.
func ParseGroundingBasis(text string) (GroundingBasis, error) {
	n, err := groundingBases.parse(text)
	return GroundingBasis(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (b GroundingBasis) MarshalText() ([]byte, error) { return groundingBases.marshal(uint8(b)) }

// UnmarshalText reads what ParseGroundingBasis reads; on an error b is unchanged.
func (b *GroundingBasis) UnmarshalText(text []byte) error {
	n, err := ParseGroundingBasis(string(text))
	if err == nil {
		*b = n
	}
	return err
}

// GroundingBaseline is the size from which an increase is counted.
type GroundingBaseline uint8

// Grounding baselines. Zero is unset and refused.
const (
	// BeforeCorrection counts from the least size before ambient correction and
	// bundling adjustment, so that an increase they force counts too.
	BeforeCorrection GroundingBaseline = iota + 1
	// AfterCorrection counts from the least size for the installation as it is,
	// correction and adjustment included.
	AfterCorrection
)

var groundingBaselines = vocabulary{kind: "grounding conductor baseline", words: []string{"before correction", "after correction"}}

// String returns the word, or "unset" for zero.
func (b GroundingBaseline) String() string { return groundingBaselines.word(uint8(b)) }

// ParseGroundingBaseline returns the value of the word; the error lists the words.
func ParseGroundingBaseline(text string) (GroundingBaseline, error) {
	n, err := groundingBaselines.parse(text)
	return GroundingBaseline(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (b GroundingBaseline) MarshalText() ([]byte, error) { return groundingBaselines.marshal(uint8(b)) }

// UnmarshalText reads what ParseGroundingBaseline reads; on an error b is unchanged.
func (b *GroundingBaseline) UnmarshalText(text []byte) error {
	n, err := ParseGroundingBaseline(string(text))
	if err == nil {
		*b = n
	}
	return err
}

// OutletKind is a kind of outlet that a demand for protection is on.
type OutletKind uint8

// Outlet kinds. Zero is unset.
const (
	ReceptacleOutlets OutletKind = iota + 1
	LightingOutlets
)

var outletKinds = vocabulary{kind: "kind of outlet", words: []string{"receptacles", "lights"}}

// String returns the word, or "unset" for zero.
func (k OutletKind) String() string { return outletKinds.word(uint8(k)) }

// ParseOutletKind returns the value of the word; the error lists the words.
func ParseOutletKind(text string) (OutletKind, error) {
	n, err := outletKinds.parse(text)
	return OutletKind(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (k OutletKind) MarshalText() ([]byte, error) { return outletKinds.marshal(uint8(k)) }

// UnmarshalText reads what ParseOutletKind reads; on an error k is unchanged.
func (k *OutletKind) UnmarshalText(text []byte) error {
	n, err := ParseOutletKind(string(text))
	if err == nil {
		*k = n
	}
	return err
}

// ProtectionKind is a kind of added protection a location may demand.
type ProtectionKind uint8

// Protection kinds. Zero is unset and refused.
const (
	ArcFault ProtectionKind = iota + 1
	GroundFault
	ResidualCurrent
)

var protectionKinds = vocabulary{kind: "protection kind", words: []string{"arc-fault", "ground-fault", "residual-current"}}

// String returns the word, or "unset" for zero.
func (k ProtectionKind) String() string { return protectionKinds.word(uint8(k)) }

// ParseProtectionKind returns the value of the word; the error lists the words.
func ParseProtectionKind(text string) (ProtectionKind, error) {
	n, err := protectionKinds.parse(text)
	return ProtectionKind(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (k ProtectionKind) MarshalText() ([]byte, error) { return protectionKinds.marshal(uint8(k)) }

// UnmarshalText reads what ParseProtectionKind reads; on an error k is unchanged.
func (k *ProtectionKind) UnmarshalText(text []byte) error {
	n, err := ParseProtectionKind(string(text))
	if err == nil {
		*k = n
	}
	return err
}

// Demand says whether something is required.
type Demand uint8

// Demands. Zero is unset and refused.
const (
	Required Demand = iota + 1
	NotRequired
	// Unverified means the table does not know: ask the inspector.
	Unverified
)

var demands = vocabulary{kind: "demand", words: []string{"required", "not required", "unverified, ask the inspector"}}

// String returns the word, or "unset" for zero.
func (d Demand) String() string { return demands.word(uint8(d)) }

// ParseDemand returns the value of the word; the error lists the words.
func ParseDemand(text string) (Demand, error) {
	n, err := demands.parse(text)
	return Demand(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (d Demand) MarshalText() ([]byte, error) { return demands.marshal(uint8(d)) }

// UnmarshalText reads what ParseDemand reads; on an error d is unchanged.
func (d *Demand) UnmarshalText(text []byte) error {
	n, err := ParseDemand(string(text))
	if err == nil {
		*d = n
	}
	return err
}

// DropMethod is a way to compute voltage drop.
type DropMethod uint8

// Drop methods. Zero is unset; a table's default applies.
const (
	// ByResistance uses the direct-current resistance of the conductor.
	ByResistance DropMethod = iota + 1
	// ByImpedance uses alternating-current resistance and reactance at the
	// load's power factor.
	ByImpedance
	// ByConstant uses the trade constant K and the conductor's circular mils.
	ByConstant
	// ByRate uses the cable's millivolts per ampere-meter.
	ByRate
)

var dropMethods = vocabulary{kind: "voltage drop method", words: []string{"resistance", "impedance", "constant", "rate"}}

// String returns the word, or "unset" for zero.
func (m DropMethod) String() string { return dropMethods.word(uint8(m)) }

// ParseDropMethod returns the value of the word; the error lists the words.
func ParseDropMethod(text string) (DropMethod, error) {
	n, err := dropMethods.parse(text)
	return DropMethod(n), err
}

// MarshalText returns the word; zero and unknown values are errors.
func (m DropMethod) MarshalText() ([]byte, error) { return dropMethods.marshal(uint8(m)) }

// UnmarshalText reads what ParseDropMethod reads; on an error m is unchanged.
func (m *DropMethod) UnmarshalText(text []byte) error {
	n, err := ParseDropMethod(string(text))
	if err == nil {
		*m = n
	}
	return err
}
