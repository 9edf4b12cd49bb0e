"""The papers, one module each: from the facts of a build to a document. Pure; planner.paper says how to add one."""
