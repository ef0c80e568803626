package people

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/ripwright/ripwright/solver/unit"
)

// The factors are those of NIST Special Publication 811 (2008), Appendix B.8, all
// printed there as exact: inch 2.54 E-02 m, foot 3.048 E-01 m, square foot
// 9.290 304 E-02 m2, square inch 6.4516 E-04 m2.
func TestPublishedFactors(t *testing.T) {
	for text, nm := range map[string]unit.Length{"1in": 25_400_000, "1ft": 304_800_000, "1mm": 1_000_000, "1m": 1e9} {
		if got, err := Length(text); err != nil || got != nm {
			t.Errorf("%s is %d nm, %v; want %d", text, got, err, nm)
		}
	}
	for text, um2 := range map[string]SquareMicrometres{"1 sq ft": 92_903_040_000, "1 sq in": 645_160_000, "1m2": 1e12} {
		if got, err := Area(text); err != nil || got != um2 {
			t.Errorf("%s is %d, %v; want %d", text, got, err, um2)
		}
	}
}

func TestLength(t *testing.T) {
	for text, nm := range map[string]unit.Length{
		"1-3/4in": 44_450_000, `1 3/4"`: 44_450_000, "1 - 3/4 in": 44_450_000, "1.75in": 44_450_000, "7/4in": 44_450_000,
		"44.5mm": 44_500_000, "44.5 MM": 44_500_000, " 44.50mm ": 44_500_000, ".5mm": 500_000, "2.4m": 2_400_000_000, "12 cm": 120_000_000,
		"12ft": 3_657_600_000, "12'": 3_657_600_000, "12 feet": 3_657_600_000, "1 foot": 304_800_000,
		"12ft 6in": 3_810_000_000, `8' 4-1/2"`: 2_552_700_000, `8'4-1/2"`: 2_552_700_000, "8′ 4 1/2″": 2_552_700_000, "12ft6in": 3_810_000_000,
		"200 lineal ft": 60_960_000_000, "200 lf": 60_960_000_000, "200 lin. ft": 60_960_000_000, "60.96 lineal m": 60_960_000_000,
		"1/64in": 396_875, "1/128in": 198_438, "-1/128in": -198_438, "0.0000005mm": 1, "0.0000004mm": 0,
		"-2in": -50_800_000, "3 in.": 76_200_000, "0mm": 0,
	} {
		got, err := Length(text)
		if err != nil || got != nm {
			t.Errorf("%s is %d nm, %v; want %d", text, got, err, nm)
		}
	}
}

// Nothing is nothing in every unit. Of what follows a unit the unit is not left out.
func TestZeroNeedsNoUnit(t *testing.T) {
	for _, text := range []string{"0", " 0 ", "0.0", ".0", "-0", "00", "0/8", "0-0/64"} {
		if l, err := Length(text); err != nil || l != 0 {
			t.Errorf("%q is %d nm, %v", text, l, err)
		}
		if a, err := Area(text); err != nil || a != 0 {
			t.Errorf("%q is %d um2, %v", text, a, err)
		}
		for name, read := range map[string]func(string) (float64, error){"minutes": Minutes, "seconds": Seconds, "feed": Feed, "speed": Speed} {
			if v, err := read(text); err != nil || v != 0 || math.Signbit(v) {
				t.Errorf("%q is %v in %s, %v", text, v, name, err)
			}
		}
	}
	for _, text := range []string{"0/0", "0.0000001", "1-0/8", "12ft 0", "0 0", "--0", "0x"} {
		if l, err := Length(text); err == nil {
			t.Errorf("%q is read as %d nm", text, l)
		}
	}
}

// Messages for what cannot be read say what to type instead.
func TestRefusals(t *testing.T) {
	for text, says := range map[string]string{
		"":                             "is empty; write it as 44.5mm",
		"44.5":                         "write 44.5mm or 44.5in",
		"1-3/4":                        "write 1-3/4mm or 1-3/4in",
		"44,5mm":                       "write a decimal point",
		"1,200ft":                      "no separators",
		"44.5 furlong":                 "cannot be read; write it as 44.5mm",
		"44.5mmm":                      "cannot be read",
		"3in 4in":                      "units that do not follow each other",
		"3in 4ft":                      "units that do not follow each other",
		"3ft 4mm":                      "units that do not follow each other",
		"3ft 14in":                     "write them as feet",
		"1/0in":                        "a fraction over 0",
		"--3in":                        "cannot be read",
		"1¾in":                         "cannot be read",
		"1e3mm":                        "cannot be read",
		"NaN mm":                       "cannot be read",
		"9999999999999m":               "is too long",
		strings.Repeat("9", 70) + "mm": "is too long",
	} {
		got, err := Length(text)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q gives %d, %v; want an error with %q", text, got, err, says)
		}
	}
	if _, err := Area("12"); err == nil || !strings.Contains(err.Error(), "write 12m2 or 12 sq ft") {
		t.Error(err)
	}
	if _, err := Area("12ft"); err == nil {
		t.Error("a length is read as an area")
	}
}

func TestArea(t *testing.T) {
	for text, want := range map[string]SquareMicrometres{
		"1.5m2": 1_500_000_000_000, "1.5 m²": 1_500_000_000_000, "1.5 sq m": 1_500_000_000_000, "1.5m^2": 1_500_000_000_000,
		"120 sq ft": 120 * 92_903_040_000, "120sqft": 120 * 92_903_040_000, "120 sf": 120 * 92_903_040_000, "120 ft2": 120 * 92_903_040_000,
		"144 sq in": 92_903_040_000, "1/2 sq. ft": 46_451_520_000,
	} {
		if got, err := Area(text); err != nil || got != want {
			t.Errorf("%s is %d, %v; want %d", text, got, err, want)
		}
	}
}

func TestShown(t *testing.T) {
	for got, want := range map[string]string{
		Inch.Exact(44_450_000):    "1-3/4in",
		Inch.Exact(-44_450_000):   "-1-3/4in",
		Inch.Exact(396_875):       "1/64in",
		Inch.Exact(0):             "0in",
		Inch.Exact(44_500_000):    "1.7519685in",
		Metric.Exact(44_450_000):  "44.45mm",
		Metric.Exact(-1):          "-0.000001mm",
		Metric.Width(44_500_000):  "44.5 mm",
		Metric.Width(44_450_000):  "44.45 mm",
		Inch.Width(44_450_000):    "1-3/4 in",
		Inch.Width(44_500_000):    "1.752 in",
		Metric.Long(2_400e6):      "2.400 m",
		Inch.Long(2_552_700_000):  "8 ft 4-1/2 in",
		Inch.Long(3_657_600_000):  "12 ft",
		Inch.Long(3_657_599_999):  "12 ft",
		Inch.Long(76_200_000):     "3 in",
		Inch.Lineal(60.96):        "200.0 lineal ft",
		Metric.Lineal(60.96):      "60.96 m",
		Inch.Area(0.092903040):    "1.00 sq ft",
		Metric.Area(0.0929030401): "0.093 m2",
	} {
		if got != want {
			t.Errorf("shown as %s, want %s", got, want)
		}
	}
}

// lengths are those that a request can hold, whole 64ths and others.
func lengths(t *rapid.T) unit.Length {
	if rapid.Bool().Draw(t, "is a fraction") {
		return unit.Length(rapid.Int64Range(-2_000_000, 2_000_000).Draw(t, "64ths")) * inch / 64
	}
	return unit.Length(rapid.Int64Range(-1e12, 1e12).Draw(t, "nm"))
}

// What Exact writes, Length reads, to the nanometre and in either system.
func TestExactRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lengths(t)
		for name, s := range Systems {
			text := s.Exact(l)
			if got, err := Length(text); err != nil || got != l {
				t.Fatalf("%d nm in %s is written %s and read as %d, %v", l, name, text, got, err)
			}
		}
	})
}

// A length is the same after conversion to and from millimetres, as messages have it.
func TestWireRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lengths(t)
		if got, ok := unit.FromMM(l.MM()); !ok || got != l {
			t.Fatalf("%d nm comes back as %d", l, got)
		}
	})
}

// However a mixed number is typed, it is one length.
func TestSpellings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.Int64Range(0, 500).Draw(t, "whole")
		bottom := int64(1) << rapid.IntRange(1, 6).Draw(t, "power")
		top := rapid.Int64Range(0, bottom-1).Draw(t, "top")
		want := unit.Length(whole)*inch + unit.Length(top)*inch/unit.Length(bottom)
		text := func(dash, gap, name string) string {
			return decimals(whole, 1) + dash + decimals(top, 1) + "/" + decimals(bottom, 1) + gap + name
		}
		for _, s := range []string{text("-", "", "in"), text(" ", " ", "inches"), text("-", "", `"`), text("  ", "", "″")} {
			if got, err := Length(s); err != nil || got != want {
				t.Fatalf("%s is %d, %v; want %d", s, got, err, want)
			}
		}
	})
}

// Whatever is typed, the answer is a length or an error, and the same each time.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[-0-9./ ]{0,12}(mm|in|ft|"|'|m2|sq ft)?[-0-9./ "']{0,8}`).Draw(t, "text")
		l, err := Length(text)
		again, err2 := Length(text)
		if l != again || (err == nil) != (err2 == nil) {
			t.Fatalf("%q is %d, %v and then %d, %v", text, l, err, again, err2)
		}
		if _, err := Area(text); err != nil && err.Error() == "" {
			t.Fatal("an error without a message")
		}
		text += rapid.SampledFrom([]string{"", "/s", "/min", " per min", "fpm", "ms", "/"}).Draw(t, "over")
		for _, read := range []func(string) (float64, error){Speed, Feed, Seconds} {
			if v, err := read(text); err == nil && !(v >= 0) || err != nil && err.Error() == "" {
				t.Fatalf("%q is %v, %v", text, v, err)
			}
		}
	})
}

// A minute is 60 seconds and an hour 60 minutes (NIST SP 811, section 5.1.1, from
// memory).
func TestMinutes(t *testing.T) {
	for text, want := range map[string]float64{"45min": 45, "1h 30min": 90, "1h30min": 90, "7.5 h": 450, "7-1/2 hours": 450, "90 s": 1.5,
		"90 sec.": 1.5, "0min": 0, "2 hrs": 120, "1/3h": 20} {
		if got, err := Minutes(text); err != nil || got != want {
			t.Errorf("%s is %g min, %v; want %g", text, got, err, want)
		}
	}
	for text, says := range map[string]string{"45": "write 45min or 45h", "": "is empty; write it as 45min", "1h 75min": "write them as hours",
		"30min 1h": "do not follow each other", "14:30": "cannot be read; write it as 45min, 1h 30min or 7.5h", "-5min": "below 0", "3ft": "cannot be read"} {
		if _, err := Minutes(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v; want an error with %q", text, err, says)
		}
	}
	for minutes, want := range map[float64]string{0: "0 min", 59.4: "59 min", 59.6: "1 h 00 min", 425: "7 h 05 min", -61: "-1 h 01 min", -5: "-5 min"} {
		if got := Time(minutes); got != want {
			t.Errorf("%g min is shown as %q, want %q", minutes, got, want)
		}
	}
}

// The factors are those of NIST SP 811, Appendix B.8: 1 ft/min = 5.08 E-03 m/s, 1 in/s =
// 2.54 E-02 m/s, 1 ft/s = 3.048 E-01 m/s, all exact; and a minute is 60 s.
func TestSpeeds(t *testing.T) {
	for text, mmPerS := range map[string]float64{"1 ft/min": 5.08, "1in/s": 25.4, "1 ft/s": 304.8, "300 mm/s": 300, "12 in/s": 304.8, "12in./sec": 304.8,
		"20 m/min": 1000.0 / 3, "65 ft/min": 330.2, "65 fpm": 330.2, "65 feet per minute": 330.2, "1/2 in / s": 12.7, "1-1/2m/s": 1500, "0mm/s": 0, `30"/s`: 762} {
		if got, err := Speed(text); err != nil || got != mmPerS {
			t.Errorf("%s is %v mm/s, %v; want %v", text, got, err, mmPerS)
		}
	}
	for text, mPerMin := range map[string]float64{"20 m/min": 20, "65 ft/min": 19.812, "65fpm": 19.812, "300mm/s": 18, "0.1m/min": 0.1, "1 km/h": 0} {
		got, err := Feed(text)
		if mPerMin == 0 {
			if err == nil {
				t.Errorf("%s is read as %v", text, got)
			}
		} else if err != nil || got != mPerMin {
			t.Errorf("%s is %v m/min, %v; want %v", text, got, err, mPerMin)
		}
	}
	for text, says := range map[string]string{"300": "has no unit; write 300mm/s, 300m/min or 300ft/min", "": "is empty; write it as 20m/min", "-3mm/s": "below 0",
		"300mm": "cannot be read; write it as 20m/min, 65ft/min, 300mm/s or 12in/s", "300 mm/m": "cannot be read", "300 mm s": "cannot be read", "3 ft/min 6 in/min": "do not follow each other",
		"1,5 m/min": "write a decimal point"} {
		if v, err := Speed(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, %v; want an error with %q", text, v, err, says)
		}
	}
}

func TestSeconds(t *testing.T) {
	for text, want := range map[string]float64{"0.5 s": 0.5, "400 ms": 0.4, "400msec.": 0.4, "1/2 sec": 0.5, "1-1/2 min": 90, "0s": 0, "2 seconds": 2, "0.001h": 3.6} {
		if got, err := Seconds(text); err != nil || got != want {
			t.Errorf("%s is %v s, %v; want %v", text, got, err, want)
		}
	}
	for text, says := range map[string]string{"4": "has no unit; write 4s or 4ms", "-4s": "below 0", "4 mm": "cannot be read; write it as 0.5s, 400ms or 1-1/2min", "1min 30s": "do not follow each other"} {
		if v, err := Seconds(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, %v; want an error with %q", text, v, err, says)
		}
	}
}

// Written speeds and times are read back to the last bit, in either system; and what a
// person wrote in whole hundredths returns in the same figures.
func TestSpeedRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.OneOf(rapid.Float64Range(0.01, 10_000), rapid.Float64Range(1e-9, 1e-6)).Draw(t, "figure")
		n := rapid.Int64Range(1, 1_000_000).Draw(t, "hundredths")
		typed := decimals(n, 100)
		for name, s := range Systems {
			for what, f := range map[string]struct {
				write func(float64) string
				read  func(string) (float64, error)
			}{"feed": {s.Feed, Feed}, "speed": {s.Speed, Speed}, "seconds": {s.Seconds, Seconds}} {
				if got, err := f.read(f.write(v)); err != nil || got != v {
					t.Fatalf("%s of %v in %s is written %s and read as %v, %v", what, v, name, f.write(v), got, err)
				}
				_, unit, _ := strings.Cut(f.write(v), " ")
				got, err := f.read(typed + " " + unit)
				if err != nil || f.write(got) != typed+" "+unit {
					t.Fatalf("%s %s is read as %v, %v and written %s", typed, unit, got, err, f.write(got))
				}
			}
		}
	})
}

// A time that is shown is read back to the minute.
func TestTimeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minutes := float64(rapid.Int64Range(0, 1_000_000).Draw(t, "minutes"))
		if got, err := Minutes(Time(minutes)); err != nil || got != minutes {
			t.Fatalf("%g min is shown as %s and read as %g, %v", minutes, Time(minutes), got, err)
		}
	})
}

// What tables show, in either system, is read back to the accuracy shown: a width to half
// a hundredth of a millimetre or half a thousandth of an inch, a length along the board
// to half a millimetre or a 32nd of an inch.
func TestShownRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lengths(t)
		for s, near := range map[System][2]unit.Length{Metric: {5_000, 500_000}, Inch: {inch/2000 + 1, inch / 32}} {
			for i, text := range []string{s.Width(l), s.Long(l)} {
				got, err := Length(text)
				if d := got - l; err != nil || d > near[i] || -d > near[i] {
					t.Fatalf("%d nm is shown as %s and read as %d, %v", l, text, got, err)
				}
			}
		}
	})
}

// An area that is shown is read back to the accuracy shown.
func TestAreaRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := SquareMicrometres(rapid.Int64Range(0, 1e15).Draw(t, "um2"))
		for s, near := range map[System]SquareMicrometres{Metric: 1e12/2000 + 1, Inch: squareFoot/200 + 1} {
			got, err := Area(s.Area(a.SquareMetres()))
			if d := got - a; err != nil || d > near || -d > near {
				t.Fatalf("%d um2 is shown as %s and read as %d, %v", a, s.Area(a.SquareMetres()), got, err)
			}
		}
	})
}
