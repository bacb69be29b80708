package worktime

import (
	"fmt"
	"strconv"
	"strings"
)

// Unit is the unit in which a span was written.
type Unit uint8

// The units of a span. Working units count only working time, elapsed ones real time.
const (
	Minutes Unit = iota
	Hours
	Days
	Weeks
	ElapsedMinutes
	ElapsedHours
	ElapsedDays
	ElapsedWeeks
)

var unitNames = [...]string{
	"minutes", "hours", "days", "weeks",
	"elapsed minutes", "elapsed hours", "elapsed days", "elapsed weeks",
}

// MaxAmount is the largest amount a span may have in any unit.
const MaxAmount = 100_000

// Span is an amount of time with its unit, as people write it: "3 days" is
// working time, "28 elapsed days" is real time. The zero value is "0 minutes".
type Span struct {
	Amount int32
	Unit   Unit
}

// ParseSpan reads a whole number and a unit: "4 hours", "1 day", "48 elapsed hours".
func ParseSpan(s string) (Span, error) {
	num, rest, ok := strings.Cut(s, " ")
	n, err := strconv.Atoi(num)
	if !ok || err != nil || n < 0 || n > MaxAmount || num != strconv.Itoa(n) {
		return Span{}, fmt.Errorf("%q is not a length of time: write a whole number up to %d and a unit, for instance 3 days, 4 hours or 28 elapsed days", s, MaxAmount)
	}
	for u, name := range unitNames {
		if rest == name || (n == 1 && rest == strings.TrimSuffix(name, "s")) {
			return Span{Amount: int32(n), Unit: Unit(u)}, nil
		}
	}
	return Span{}, fmt.Errorf("%q has no unit that is known: the units are %s", s, strings.Join(unitNames[:], ", "))
}

// String writes the span as ParseSpan reads it.
func (s Span) String() string {
	name := unitNames[s.Unit]
	if s.Amount == 1 {
		name = strings.TrimSuffix(name, "s")
	}
	return strconv.Itoa(int(s.Amount)) + " " + name
}

// Elapsed says whether the span counts real time and not working time.
func (s Span) Elapsed() bool { return s.Unit >= ElapsedMinutes }

// Zero says whether the span is of no length.
func (s Span) Zero() bool { return s.Amount == 0 }

// Minutes is the length of the span in minutes, working or real as its unit
// says. A working day is dayMinutes long and a working week has weekDays of them.
func (s Span) Minutes(dayMinutes, weekDays int64) int64 {
	n := int64(s.Amount)
	switch s.Unit {
	case Hours, ElapsedHours:
		return n * 60
	case Days:
		return n * dayMinutes
	case Weeks:
		return n * dayMinutes * weekDays
	case ElapsedDays:
		return n * 24 * 60
	case ElapsedWeeks:
		return n * 7 * 24 * 60
	}
	return n
}

// MarshalText writes what ParseSpan reads.
func (s Span) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (s *Span) UnmarshalText(b []byte) (err error) {
	*s, err = ParseSpan(string(b))
	return err
}
