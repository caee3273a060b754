"""The solver of linear programs, without a word on the output of whoever uses it."""

import highspy


class QuietHighs(highspy.Highs):
    """HiGHS on one thread. It prints its licence while it is being made, before anybody can set an
    option; this is the only step of its making that can be stepped into before that."""

    def enableCallbacks(self) -> None:
        self.setOptionValue("output_flag", False)
        self.setOptionValue("threads", 1)
        super().enableCallbacks()
