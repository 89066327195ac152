"""Learn one person's voice: recordings with their words in, a model that hears this person out.

Whatever imports PyTorch (`lessons`, `learner`, `weeding`) is imported only when something is learnt.
"""
