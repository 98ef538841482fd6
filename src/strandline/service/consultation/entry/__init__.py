"""The consultation as it is entered at the chair: questions, answers, and what they come to."""
