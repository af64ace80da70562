package detect

// Basis is what the demand of a kind rests on. evidence.md has the figures.
type Basis string

const (
	Measured       Basis = "measured"                            // elsewhere, and published
	Calibrated     Basis = "calibrated on recorded performances" // what is missed rises with the demand
	CommonPractice Basis = "common practice"                     // rules of thumb of the trade
)

// Performances names the recordings that demand is calibrated on.
const Performances = "Peter et al., TISMIR 2023; Foscarin et al., ISMIR 2020"

// BasisRule says what the figures rest on, kinds apart.
const BasisRule = `What demand rests on: how far hands reach is measured (Boyle, Boyle & Booker 2015; Parncutt et al. 1997). What is
harder than what, and how things add up in a bar, is calibrated on 266 recorded performances of 29 works (` + Performances + `)
where these can tell: in them notes are missed or added, not late, blurred or out of balance. Where comfort ends at each level
is common practice: your own figures are better.`
