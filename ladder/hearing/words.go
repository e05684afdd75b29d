package hearing

import (
	"fmt"
	"math"
	"strings"
)

// things counts in words: "one note", "two notes".
func things(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return count(n) + " " + many
}

var small = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// count is a number in words up to twelve.
func count(n int) string {
	if n >= 0 && n < len(small) {
		return small[n]
	}
	return fmt.Sprint(n)
}

// ordinal is "first" for 1.
func ordinal(n int) string {
	words := [...]string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
	if n > 0 && n < len(words) {
		return words[n]
	}
	suffix := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, suffix)
}

// round writes whole milliseconds.
func round(ms float64) string { return fmt.Sprintf("%.0f", ms) }

// capital begins a sentence.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// hundredths writes a number with at most two decimals.
func hundredths(v float64) string {
	s := fmt.Sprintf("%.2f", v)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// tenths writes a number with one decimal, or none when it is nearly whole.
func tenths(x float64) string {
	if r := math.Round(x); math.Abs(x-r) < 0.05 {
		return fmt.Sprintf("%.0f", r)
	}
	return fmt.Sprintf("%.1f", x)
}

// clock writes seconds as minutes and seconds, "1:07".
func clock(seconds float64) string {
	whole := int(seconds)
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}
