package plan

// What is planned where nothing is said. The weeks are long enough for what
// begins in the first to come again after 14 days. Common practice.
const (
	UsualMinutes = 30 // a day
	UsualDays    = 5  // a week
	UsualWeeks   = 3
)
