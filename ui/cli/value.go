package cli

import (
	"errors"
	"fmt"
	"reflect"
	"strconv"

	"github.com/alecthomas/kong"
)

// values read what is given to an argument or an option. The library's own ways
// go through JSON, which spoils a file name that is not UTF-8, and speak of
// floats and bits.
func values() []kong.Option {
	options := []kong.Option{kong.KindMapper(reflect.String, value(func(s string, to reflect.Value) error {
		to.SetString(s)
		return nil
	}))}
	options = append(options, kong.KindMapper(reflect.Int, value(func(s string, to reflect.Value) error {
		n, err := strconv.ParseInt(s, 10, to.Type().Bits())
		if err != nil {
			return fmt.Errorf("%q is no whole number, or far too large", s)
		}
		to.SetInt(n)
		return nil
	})))
	for _, kind := range []reflect.Kind{reflect.Float32, reflect.Float64} {
		options = append(options, kong.KindMapper(kind, value(func(s string, to reflect.Value) error {
			n, err := strconv.ParseFloat(s, to.Type().Bits())
			if err != nil {
				return fmt.Errorf("%q is no number; write one such as 0.5", s)
			}
			to.SetFloat(n)
			return nil
		})))
	}
	return options
}

// value takes the next word of the command line and sets what it is for.
func value(set func(string, reflect.Value) error) kong.MapperFunc {
	return func(ctx *kong.DecodeContext, target reflect.Value) error {
		token := ctx.Scan.Peek()
		switch word := fmt.Sprint(token.Value); {
		case token.IsEOL():
			return errors.New("a value is missing; write it after the option")
		case !token.IsValue():
			return fmt.Errorf("%q looks like another option; write --%s=%s if it is meant", word, ctx.Value.Name, word)
		default:
			ctx.Scan.Pop()
			return set(word, target)
		}
	}
}
