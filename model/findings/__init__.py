"""What is doubtful about a design, each remark beside its field."""
