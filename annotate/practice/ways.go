package practice

// Way is a general way of practising, which steps name.
type Way struct {
	Name  string // "rhythms"
	Words string
}

// Ways are those that the sheet explains once. Common practice.
var Ways = []Way{
	{"stops", "stop before what is hard, look, and play only when you know where the hand goes; then leave the stops out one by one."},
	{"rhythms", "play even notes long-short, then short-long, then as they are written."},
	{"one more", "begin with two notes or chords in tempo, and add one at a time."},
	{"from the end", "learn the last beat first and go back beat by beat, always playing to the end."},
}
