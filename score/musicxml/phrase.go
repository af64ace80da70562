package musicxml

import (
	"slices"
	"strings"
	"unicode"
)

// phrase is what words on the page say: small letters, no accents, one entry a
// word. "Più mosso (♩ = 60)" is piu, mosso, 60; "u.c." is u, c.
type phrase []string

func newPhrase(text string) phrase {
	return strings.FieldsFunc(fold.Replace(strings.ToLower(text)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '*'
	})
}

// fold takes the accents off the letters of the languages read here. The
// combining ones are for files that store the accent apart from its letter.
var fold = strings.NewReplacer(
	"à", "a", "á", "a", "â", "a", "ä", "a", "è", "e", "é", "e", "ê", "e", "ë", "e", "ì", "i", "í", "i", "î", "i", "ï", "i",
	"ò", "o", "ó", "o", "ô", "o", "ö", "o", "ù", "u", "ú", "u", "û", "u", "ü", "u", "ç", "c", "ß", "ss", "º", "", "ª", "",
	"\u0300", "", "\u0301", "", "\u0302", "", "\u0308", "", "\u0327", "",
)

// says reports whether one of the given runs of words stands in the phrase:
// says("senza ped", "senza pedale").
func (p phrase) says(runs ...string) bool {
	return slices.ContainsFunc(runs, func(run string) bool { return p.find(run) >= 0 })
}

// find is where the run of words begins, −1 where it does not stand.
func (p phrase) find(run string) int {
	for i := range p {
		if p[i:].starts(run) {
			return i
		}
	}
	return -1
}

// starts reports whether the phrase begins with the run of words.
func (p phrase) starts(run string) bool {
	for _, word := range p {
		first, rest, more := strings.Cut(run, " ")
		if first != word {
			return false
		}
		if !more {
			return true
		}
		run = rest
	}
	return false
}

// begins reports whether the phrase begins with one of the given runs.
func (p phrase) begins(runs ...string) bool {
	return slices.ContainsFunc(runs, p.starts)
}

// is reports whether the phrase is one of the given runs and nothing else.
func (p phrase) is(runs ...string) bool {
	return slices.Contains(runs, strings.Join(p, " "))
}

// stem reports whether a word begins with one of the stems: "rall" finds "rall",
// "rallent" and "rallentando".
func (p phrase) stem(stems ...string) bool {
	return slices.ContainsFunc(p, func(word string) bool {
		return slices.ContainsFunc(stems, func(s string) bool { return strings.HasPrefix(word, s) })
	})
}

// Unicode's signs, as plain text keeps them.
const (
	segnoSign = "\U0001D10B"
	codaSign  = "\U0001D10C"
)

// glyphs turns the signs of music fonts into plain characters: Standard Music
// Font Layout (SMuFL 1.4) code points, and Unicode's own musical symbols.
var glyphs = strings.NewReplacer(
	// dynamics
	"\uE520", "p", "\uE521", "m", "\uE522", "f", "\uE523", "r", "\uE524", "s", "\uE525", "z", "\uE526", "n",
	"\uE527", "pppppp", "\uE528", "ppppp", "\uE529", "pppp", "\uE52A", "ppp", "\uE52B", "pp", "\uE52C", "mp", "\uE52D", "mf",
	"\uE52E", "pf", "\uE52F", "ff", "\uE530", "fff", "\uE531", "ffff", "\uE532", "fffff", "\uE533", "ffffff", "\uE534", "fp",
	"\uE535", "fz", "\uE536", "sf", "\uE537", "sfp", "\uE538", "sfpp", "\uE539", "sfz", "\uE53A", "sfzp", "\uE53B", "sffz",
	"\uE53C", "rf", "\uE53D", "rfz", "\U0001D18F", "p", "\U0001D190", "m", "\U0001D191", "f",
	// pedals
	"\uE650", "Ped.", "\uE651", "Ped.", "\uE655", "*", "\uE659", "Sost.", "\uE65A", "S",
	"\U0001D1AE", "Ped.", "\U0001D1AF", "*", "\u2731", "*", "\u2217", "*",
	// note values in tempo marks; the eighth and sixteenth first, since a note
	// put together from its parts begins like a quarter
	"\uE1D7", "♪", "\uECA7", "♪", "\U0001D160", "♪", "\U0001D158\U0001D165\U0001D16E", "♪",
	"\uE1D9", "sixteenth", "\uECA9", "sixteenth", "\U0001D161", "sixteenth", "\U0001D158\U0001D165\U0001D16F", "sixteenth",
	"\uE1D5", "♩", "\uECA5", "♩", "\U0001D15F", "♩", "\U0001D158\U0001D165", "♩",
	"\uE1D3", "half", "\uECA3", "half", "\U0001D15E", "half", "\U0001D157\U0001D165", "half",
	"\uE1D2", "whole", "\uECA2", "whole", "\U0001D15D", "whole",
	"\uE1E7", ".", "\uECB7", ".", "\U0001D16D", ".",
	// signs of the order of play
	"\uE045", "D.S.", "\uE046", "D.C.", "\uE047", segnoSign, "\uE048", codaSign,
)

// plain is text without signs of music fonts and without needless space.
func plain(text string) string {
	return strings.Join(strings.Fields(glyphs.Replace(text)), " ")
}

// symbols are the glyph names that a <symbol> between words may hold.
var symbols = map[string]string{
	"keyboardPedalPed": "\uE650", "keyboardPedalUp": "\uE655", "keyboardPedalSost": "\uE659",
	"dynamicPiano": "\uE520", "dynamicMezzo": "\uE521", "dynamicForte": "\uE522",
	"dynamicRinforzando": "\uE523", "dynamicSforzando": "\uE524", "dynamicZ": "\uE525",
	"metNoteWhole": "\uECA2", "metNoteHalfUp": "\uECA3", "metNoteQuarterUp": "\uECA5", "metNote8thUp": "\uECA7",
	"metNote16thUp": "\uECA9", "metAugmentationDot": "\uECB7", "segno": "\uE047", "coda": "\uE048",
	"dalSegno": "\uE045", "daCapo": "\uE046",
}
