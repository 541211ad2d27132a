"""The sentences of the job, each one transaction: take in a batch, assess a planter, print tags.

Services know the store, the flags and the domain. They know nothing of the web.
"""
