// Package nearest finds the known word that a mistyped one was meant to be. Pure.
package nearest

// Word is the word of a list that s was most likely meant to be, if any is
// near enough: at most a third of its letters wrong, and at least one.
func Word(s string, words []string) (string, bool) {
	best, most := "", 0
	for _, w := range words {
		allowed := max(1, (len(w)+1)/3)
		if len(s) > len(w)+allowed {
			continue
		}
		d := distance(s, w)
		if d <= allowed && (best == "" || d < most) {
			best, most = w, d
		}
	}
	return best, best != ""
}

// distance counts the letters to add, drop, change or swap with a neighbour to
// get from a to b (optimal string alignment, after Damerau, Comm. ACM 7 (1964)
// 171–176). Upper and lower case of ASCII count as the same letter.
func distance(a, b string) int {
	prev2, prev, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			wrong := 1
			if lower(a[i-1]) == lower(b[j-1]) {
				wrong = 0
			}
			row[j] = min(prev[j]+1, row[j-1]+1, prev[j-1]+wrong)
			if i > 1 && j > 1 && lower(a[i-1]) == lower(b[j-2]) && lower(a[i-2]) == lower(b[j-1]) {
				row[j] = min(row[j], prev2[j-2]+1)
			}
		}
		prev2, prev, row = prev, row, prev2
	}
	return prev[len(b)]
}

func lower(c byte) byte {
	if c >= 'A' && c <= 'Z' {
		return c + 'a' - 'A'
	}
	return c
}
