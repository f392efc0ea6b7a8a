"""Alarm rules of thumb, judged on what is known of one water; one module for each judgement."""
