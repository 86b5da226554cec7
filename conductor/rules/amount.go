package rules

import (
	"errors"
	"fmt"
	"math/bits"
	"strings"
	"time"

	"example.com/switchleg/conductor/quantity"
)

// Amount is a price or an effort in millionths of the unit that its writer
// counts in: a currency, an hour, a bare weight. Amounts of one overlay are
// comparable with each other and with nothing else.
type Amount int64

// ParseAmount returns the amount written as a bare decimal number, such as
// "0.62", not below zero and with at most six decimals.
func ParseAmount(text string) (Amount, error) {
	r, err := quantity.ParseFactor(strings.TrimSpace(text))
	const perMillionth = quantity.Whole / 1_000_000
	if err != nil || r < 0 || r%perMillionth != 0 {
		return 0, fmt.Errorf("amount %q: write a number from 0 to 9000000000 with at most six decimals, such as 0.62", text)
	}
	return Amount(r / perMillionth), nil
}

// String returns the amount as ParseAmount reads it.
func (a Amount) String() string {
	sign, whole, rest := "", a/1_000_000, a%1_000_000
	if a < 0 {
		sign, whole, rest = "-", -whole, -rest
	}
	text := fmt.Sprintf("%s%d.%06d", sign, whole, rest)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// MarshalText returns the text of String; an amount below zero is an error.
func (a Amount) MarshalText() ([]byte, error) {
	if a < 0 {
		return nil, fmt.Errorf("amount: %d millionths are below zero", int64(a))
	}
	return []byte(a.String()), nil
}

// UnmarshalText reads what [ParseAmount] reads; on an error a is unchanged.
func (a *Amount) UnmarshalText(text []byte) error {
	v, err := ParseAmount(string(text))
	if err != nil {
		return err
	}
	*a = v
	return nil
}

// Rate is an amount for a length. The zero Rate is unknown.
type Rate struct {
	Amount Amount
	Per    quantity.Length
}

// ParseRate returns the rate written as an amount, 'per' and a unit of length
// or a length: "0.62 per ft", "31 per 50 m".
func ParseRate(text string) (Rate, error) {
	amount, per, ok := strings.Cut(text, " per ")
	if !ok {
		return Rate{}, fmt.Errorf("rate %q: write an amount for a length, such as 0.62 per ft or 31 per 50 m", text)
	}
	a, err := ParseAmount(amount)
	if err != nil {
		return Rate{}, fmt.Errorf("rate %q: %w", text, err)
	}
	per = strings.TrimSpace(per)
	if per != "" && (per[0] < '0' || per[0] > '9') {
		per = "1 " + per
	}
	length, err := quantity.ParseLength(per)
	if err != nil {
		return Rate{}, fmt.Errorf("rate %q: %w", text, err)
	}
	if length <= 0 {
		return Rate{}, fmt.Errorf("rate %q: the length must be above zero", text)
	}
	return Rate{a, length}, nil
}

// Known reports whether there is a rate.
func (r Rate) Known() bool { return r.Per > 0 }

// String returns the rate as [ParseRate] reads it, "" for the zero Rate.
func (r Rate) String() string {
	if !r.Known() {
		return ""
	}
	return r.Amount.String() + " per " + strings.TrimPrefix(r.Per.String(), "1 ")
}

// MarshalText returns the text of String; an unknown rate is an error.
func (r Rate) MarshalText() ([]byte, error) {
	if !r.Known() {
		return nil, errors.New("rate: it is not known")
	}
	return []byte(r.String()), nil
}

// UnmarshalText reads what [ParseRate] reads; on an error r is unchanged.
func (r *Rate) UnmarshalText(text []byte) error {
	v, err := ParseRate(string(text))
	if err != nil {
		return err
	}
	*r = v
	return nil
}

// For returns the amount for a length, rounded up to a millionth, and false
// when the rate is unknown, the length below zero or the amount too large.
func (r Rate) For(length quantity.Length) (Amount, bool) {
	if !r.Known() || length < 0 || r.Amount < 0 {
		return 0, false
	}
	hi, lo := bits.Mul64(uint64(r.Amount), uint64(length))
	if hi >= uint64(r.Per) {
		return 0, false
	}
	q, rest := bits.Div64(hi, lo, uint64(r.Per))
	if rest > 0 {
		q++
	}
	return Amount(q), q < 1<<62
}

// Date is a day. The zero Date is none.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// ParseDate returns the day written 2004-03-31.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return Date{}, fmt.Errorf("date %q: write year, month and day as in 2004-03-31", text)
	}
	y, m, d := t.Date()
	return Date{y, m, d}, nil
}

// IsZero reports whether d is no date.
func (d Date) IsZero() bool { return d == Date{} }

// Before reports whether d is a day before e.
func (d Date) Before(e Date) bool {
	if d.Year != e.Year {
		return d.Year < e.Year
	}
	if d.Month != e.Month {
		return d.Month < e.Month
	}
	return d.Day < e.Day
}

// String returns the day as ParseDate reads it, "" for the zero Date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}
