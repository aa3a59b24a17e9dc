"""Belt-driven powered attachments: the computation behind the workbook."""
