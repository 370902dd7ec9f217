"""What the app does for one learner: sittings, plan, standing, conditions, the fitted prior.

Floor 3; no Kivy.
"""
