package detect

// Level is how far a player has come.
type Level string

const (
	Elementary   Level = "elementary"
	Returning    Level = "returning"
	Intermediate Level = "intermediate"
	Advanced     Level = "advanced"
)

// Player is who plays.
type Player struct {
	SpanMM [2]float64 // thumb tip to fifth-finger tip at full stretch, by score.Hand
	Level  Level
	Tempo  TempoChoice
	From   map[string]string // where "span", "level" and "tempo" came from: "flag", "profile", "default"
}

// TempoChoice is the tempo a player asks for. The zero value plays as written.
type TempoChoice struct {
	QPM   float64 // quarter notes a minute at the opening; later marks keep their proportion to it; 0: as written
	Share float64 // of the written tempo everywhere, 0.8 for 80 %; 0: as written
}
