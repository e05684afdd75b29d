package passage

import (
	"strings"

	"footing/audio/click"
)

// parseDecimal reads a plain decimal such as "12", "-0.5" or ".25" of at most 18
// digits, exactly. There is no exponent.
func parseDecimal(s string) (Quarters, bool) {
	digits, negative := strings.CutPrefix(s, "-")
	whole, part, _ := strings.Cut(digits, ".")
	if n := len(whole) + len(part); n == 0 || n > 18 {
		return Quarters{}, false
	}
	num, den := int64(0), int64(1)
	for i, half := range [2]string{whole, part} {
		for _, c := range []byte(half) {
			if c < '0' || c > '9' {
				return Quarters{}, false
			}
			num = 10*num + int64(c-'0')
			if i == 1 {
				den *= 10
			}
		}
	}
	if negative {
		num = -num
	}
	return click.Frac(num, den), true
}
