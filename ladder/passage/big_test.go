package passage_test

import (
	"context"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"time"

	"footing/ladder/passage"
)

func TestBig(t *testing.T) {
	pr, pw := io.Pipe()
	go func() {
		fmt.Fprint(pw, `<score-partwise><part-list/><part id="P1">`)
		for i := 0; ; i++ {
			_, err := fmt.Fprintf(pw, `<measure number="%d"><attributes><divisions>8</divisions></attributes>%s</measure>`, i, strings.Repeat(`<note><pitch><step>C</step><octave>4</octave></pitch><duration>8</duration><voice>1</voice><type>quarter</type></note>`+"\n", 100))
			if err != nil {
				return
			}
		}
	}()
	start := time.Now()
	_, _, err := passage.Read(context.Background(), pr, passage.Limits{})
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	t.Log(err, time.Since(start), m.Sys>>20)
}
