package cli

import (
	"fmt"
	"reflect"

	"github.com/alecthomas/kong"
)

// verbatim reads an argument as it was given. The library's own way goes
// through JSON, which spoils a file name that is not UTF-8.
func verbatim(ctx *kong.DecodeContext, target reflect.Value) error {
	token, err := ctx.Scan.PopValue("string")
	if err != nil {
		return err
	}
	target.SetString(fmt.Sprint(token.Value))
	return nil
}
