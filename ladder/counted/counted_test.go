package counted

import (
	"math/big"
	"testing"
)

func TestCounts(t *testing.T) {
	for _, tt := range []struct{ got, want string }{
		{Of(0, "rung"), "0 rungs"},
		{Of(1, "rung"), "1 rung"},
		{Of(2, "rung"), "2 rungs"},
		{Of(-1, "rung"), "-1 rungs"},
		{Of(21, "rung"), "21 rungs"},
		{Of(int64(1), "more minute"), "1 more minute"},
		{Of(^uint64(0), "gap"), "18446744073709551615 gaps"},
		{Value(big.NewInt(1), "beat"), "1 beat"},
		{Value(big.NewInt(3), "beat"), "3 beats"},
		{Value(big.NewRat(5, 2), "beat"), "5/2 beats"},
		{As(0, "note was", "notes were"), "0 notes were"},
		{As(1, "note was", "notes were"), "1 note was"},
		{As(2, "note was", "notes were"), "2 notes were"},
	} {
		if tt.got != tt.want {
			t.Errorf("got %q, want %q", tt.got, tt.want)
		}
	}
}
