"""What the findings of reading knowledge files mean, by code, in words for the person who gets one."""
