"""The learner's own screens: Today, Progress, Learners, Settings."""
