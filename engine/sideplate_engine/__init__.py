"""Job sheet to judgement: rules on a roller-chain final drive, with reasons, numbers and sources."""
