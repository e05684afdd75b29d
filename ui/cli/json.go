package cli

import (
	"encoding/json"
	"fmt"
	"io"
)

// writeJSON writes v on one line.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return machineFault(fmt.Errorf("writing the result: %w", err))
	}
	return nil
}
