from agreements.models.agreement import Agreement, Plan
from agreements.models.imports import HomeSpelling, SpreadsheetImport
from agreements.models.owed_visit import OwedVisit, VisitKind

__all__ = ["Agreement", "HomeSpelling", "OwedVisit", "Plan", "SpreadsheetImport", "VisitKind"]
