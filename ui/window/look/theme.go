package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"footing/ui/palette"
)

// Choice is which palette the player asked for.
type Choice string

// The choices. System follows the desktop's own light or dark setting.
const (
	ChooseSystem Choice = "system"
	ChooseDay    Choice = "day"
	ChooseNight  Choice = "night"
)

// ParseChoice returns the choice of that name, or [ChooseSystem].
func ParseChoice(s string) Choice {
	switch c := Choice(s); c {
	case ChooseDay, ChooseNight:
		return c
	}
	return ChooseSystem
}

// Next is the choice after c, going round.
func (c Choice) Next() Choice {
	switch c {
	case ChooseSystem:
		return ChooseDay
	case ChooseDay:
		return ChooseNight
	}
	return ChooseSystem
}

// Theme is the Fyne theme made of the two palettes.
type Theme struct {
	choice     Choice
	day, night *Palette
}

var _ fyne.Theme = (*Theme)(nil)

// New makes a theme for the choice.
func New(c Choice) *Theme { return &Theme{choice: c, day: palette.Day(), night: palette.Night()} }

// Choice is the palette that was asked for.
func (t *Theme) Choice() Choice { return t.choice }

// Palette is the palette in force when the desktop's own variant is v.
func (t *Theme) Palette(v fyne.ThemeVariant) *Palette {
	if t.choice == ChooseNight || t.choice == ChooseSystem && v == theme.VariantDark {
		return t.night
	}
	return t.day
}

// Current is the palette in force in the running program: the theme's own, or
// by day or night where another theme has been set.
func Current() *Palette {
	s := fyne.CurrentApp().Settings()
	if t, ok := s.Theme().(*Theme); ok {
		return t.Palette(s.ThemeVariant())
	}
	return New(ChooseSystem).Palette(s.ThemeVariant())
}

// Color maps Fyne's names onto the palette.
func (t *Theme) Color(name fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	p := t.Palette(v)
	switch name {
	case theme.ColorNameBackground, theme.ColorNameOverlayBackground, theme.ColorNameMenuBackground, theme.ColorNameHeaderBackground:
		return p.Paper
	case theme.ColorNameInputBackground, theme.ColorNameButton:
		return p.Card
	case theme.ColorNameForeground:
		return p.Ink
	case theme.ColorNamePlaceHolder, theme.ColorNameDisabled:
		return p.Soft
	case theme.ColorNamePrimary, theme.ColorNameHyperlink, theme.ColorNameSuccess:
		return p.Accent
	case theme.ColorNameError, theme.ColorNameWarning:
		return p.Warm
	case theme.ColorNameForegroundOnPrimary, theme.ColorNameForegroundOnError, theme.ColorNameForegroundOnWarning, theme.ColorNameForegroundOnSuccess:
		return p.On
	case theme.ColorNameSelection, theme.ColorNameFocus:
		return p.Wash
	case theme.ColorNameHover, theme.ColorNamePressed:
		return faint(p.Ink, 0x14)
	case theme.ColorNameSeparator, theme.ColorNameDisabledButton:
		return p.Hair
	case theme.ColorNameInputBorder, theme.ColorNameScrollBar:
		return p.Rung
	case theme.ColorNameScrollBarBackground:
		return faint(p.Ink, 0x08)
	case theme.ColorNameShadow:
		return faint(color.NRGBA{}, 0x30)
	}
	variant := theme.VariantLight
	if p.Night {
		variant = theme.VariantDark
	}
	return theme.DefaultTheme().Color(name, variant)
}

func faint(c color.NRGBA, alpha uint8) color.NRGBA {
	c.A = alpha
	return c
}

// Font is the text face of the style. Excerpts of files keep Fyne's monospaced
// font, since their columns have to line up.
func (t *Theme) Font(style fyne.TextStyle) fyne.Resource {
	switch {
	case style.Monospace, style.Symbol:
		return theme.DefaultTheme().Font(style)
	case style.Bold:
		return Bold.Resource()
	}
	return Regular.Resource()
}

// Icon is Fyne's own.
func (t *Theme) Icon(name fyne.ThemeIconName) fyne.Resource { return theme.DefaultTheme().Icon(name) }

// Size gives text and the space about it a little more room than Fyne does.
func (t *Theme) Size(name fyne.ThemeSizeName) float32 {
	switch name {
	case theme.SizeNameText:
		return 18
	case theme.SizeNameCaptionText:
		return 15
	case theme.SizeNameSubHeadingText:
		return 22
	case theme.SizeNameHeadingText:
		return 28
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 8
	case theme.SizeNameInlineIcon:
		return 22
	}
	return theme.DefaultTheme().Size(name)
}
