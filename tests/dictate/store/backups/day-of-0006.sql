BEGIN TRANSACTION;
CREATE TABLE action (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	material VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0006');
CREATE TABLE alias (
	id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	heard VARCHAR NOT NULL, 
	term VARCHAR NOT NULL, 
	taught_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (trimmer_id, heard)
);
CREATE TABLE animal (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	number VARCHAR NOT NULL, 
	eid VARCHAR, 
	ear_tag VARCHAR, 
	name VARCHAR, 
	lactation INTEGER, 
	calved_on DATE, 
	dried_off_on DATE, 
	status VARCHAR NOT NULL, 
	on_roster BOOLEAN NOT NULL, 
	merged_into_id INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(merged_into_id) REFERENCES animal (id)
);
INSERT INTO "animal" VALUES(1,1,'412',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(2,1,'9',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(3,1,'12',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(4,1,'8',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
CREATE TABLE clip (
	id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	visit_id INTEGER NOT NULL, 
	file_name VARCHAR NOT NULL, 
	suffix VARCHAR NOT NULL, 
	seconds FLOAT NOT NULL, 
	source_rate INTEGER NOT NULL, 
	channels INTEGER NOT NULL, 
	recorded_at DATETIME, 
	recorded_from VARCHAR NOT NULL, 
	taken_in_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (sha256)
);
INSERT INTO "clip" VALUES(1,'69722e617e677094f88c6071a4f5fe0ebaa496f1e3493d9d8a4e47b2a840a1a1',1,'20260302_081204.opus','.opus',7.161375,48000,1,'2026-03-02 08:12:04.000000','file name','2026-11-27 22:58:19.550901');
INSERT INTO "clip" VALUES(2,'41c994523b4200ed575597ab55912151543f274da765972c693d00f0e2027642',1,'20260302_081431.opus','.opus',2.4949375,48000,1,'2026-03-02 08:14:31.000000','file name','2026-11-27 22:58:19.612002');
INSERT INTO "clip" VALUES(3,'71b028b754da24c4662c9e7278651530a5bfed3d9faba9f9c664214f6af797b2',1,'20260302_082117.opus','.opus',4.9503125,48000,1,'2026-03-02 08:21:17.000000','file name','2026-11-27 22:58:19.711570');
INSERT INTO "clip" VALUES(4,'bb67e359ad03906a408eaccc9a6f5133c9934e90a9f58b111e208c80dab9fcf1',1,'20260302_082940.opus','.opus',6.91475,48000,1,'2026-03-02 08:29:40.000000','file name','2026-11-27 22:58:19.806963');
CREATE TABLE entry (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	version INTEGER NOT NULL, 
	touched BOOLEAN NOT NULL, 
	content JSON NOT NULL, 
	animal_id INTEGER, 
	confirmed_how VARCHAR, 
	confirmed_by VARCHAR, 
	confirmed_at DATETIME, 
	reason VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(note_id) REFERENCES note (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (note_id, position)
);
INSERT INTO "entry" VALUES(1,1,1,0,'confirmed',2,1,'{"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',1,'one','Robin Field','2026-11-27 22:58:23.339963',NULL);
INSERT INTO "entry" VALUES(2,2,1,0,'confirmed',2,1,'{"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}',1,'one','Robin Field','2026-11-27 22:58:23.222872',NULL);
INSERT INTO "entry" VALUES(3,2,1,1,'confirmed',2,1,'{"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',2,'one','Robin Field','2026-11-27 22:58:23.395274',NULL);
INSERT INTO "entry" VALUES(4,3,1,0,'confirmed',2,1,'{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',3,'one','Robin Field','2026-11-27 22:58:23.480165',NULL);
INSERT INTO "entry" VALUES(5,4,1,0,'confirmed',2,1,'{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',4,'one','Robin Field','2026-11-27 22:58:23.547709',NULL);
CREATE TABLE event (
	id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	who VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	subject VARCHAR NOT NULL, 
	subject_id INTEGER NOT NULL, 
	act VARCHAR NOT NULL, 
	"before" JSON, 
	"after" JSON, 
	undoes_id INTEGER, 
	PRIMARY KEY (id), 
	UNIQUE (undoes_id)
);
INSERT INTO "event" VALUES(1,'2026-11-27 22:58:22.633114','dictate','queued','entry',1,'5506e779c3264b82bced7422b2dd4592',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(2,'2026-11-27 22:58:22.696568','dictate','queued','entry',2,'5506e779c3264b82bced7422b2dd4592',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(3,'2026-11-27 22:58:22.697031','dictate','queued','entry',3,'5506e779c3264b82bced7422b2dd4592',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(4,'2026-11-27 22:58:22.763000','dictate','queued','entry',4,'5506e779c3264b82bced7422b2dd4592',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(5,'2026-11-27 22:58:22.804127','dictate','queued','entry',5,'5506e779c3264b82bced7422b2dd4592',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(6,'2026-11-27 22:58:23.291722','Robin Field','confirmed','entry',2,'5629770fb36c4fea905f9af7983c39c1','{"visit_id": 1, "state": "waiting", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T22:58:23.222872+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(7,'2026-11-27 22:58:23.366969','Robin Field','confirmed','entry',1,'ef5d509073384682bf03871428b6bc18','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T22:58:23.339963+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(8,'2026-11-27 22:58:23.437277','Robin Field','confirmed','entry',3,'bd2ad580a07f423881247abe30f9cf29','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T22:58:23.395274+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(9,'2026-11-27 22:58:23.518394','Robin Field','confirmed','entry',4,'ba344940b9bf450392bddc12c72c4231','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T22:58:23.480165+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(10,'2026-11-27 22:58:23.568017','Robin Field','confirmed','entry',5,'655fc42bd5be489fa0fa8b066cbc2ac2','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T22:58:23.547709+00:00", "reason": null, "touched": true}',NULL);
CREATE TABLE farm (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "farm" VALUES(1,'Alder Farm');
CREATE TABLE finding (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	zone INTEGER, 
	lesion VARCHAR NOT NULL, 
	stage VARCHAR, 
	severity VARCHAR, 
	heard VARCHAR NOT NULL, 
	object VARCHAR, 
	course VARCHAR, 
	tissue JSON NOT NULL, 
	region VARCHAR, 
	lactation INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
INSERT INTO "finding" VALUES(2,1,1,1,'2026-03-02',0,1,'RH',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(1,1,1,1,'2026-03-02',0,2,'LH','outer',4,'sole ulcer',NULL,NULL,'sole ulcer',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(3,2,1,1,'2026-03-02',0,3,'RF',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(4,3,1,1,'2026-03-02',0,4,'LF',NULL,NULL,'white line disease',NULL,NULL,'white line disease',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(5,4,1,1,'2026-03-02',0,5,'LH',NULL,NULL,'digital dermatitis',NULL,NULL,'digital dermatitis',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(5,4,1,1,'2026-03-02',1,6,'RH',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
CREATE TABLE follow_up (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	due_on DATE, 
	in_days INTEGER, 
	said_when VARCHAR NOT NULL, 
	snoozed_to DATE, 
	done_on DATE, 
	done_entry_id INTEGER, 
	done_by VARCHAR, feet VARCHAR DEFAULT '' NOT NULL, claw VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(done_entry_id) REFERENCES entry (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE herd_case (
	id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	first_on DATE NOT NULL, 
	last_on DATE NOT NULL, 
	visits INTEGER NOT NULL, 
	course VARCHAR NOT NULL, 
	closed_on DATE, 
	after_closed BOOLEAN NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id)
);
INSERT INTO "herd_case" VALUES(1,1,1,'sole ulcer','LH','outer','2026-03-02','2026-03-02',1,'new',NULL,0);
INSERT INTO "herd_case" VALUES(2,3,1,'white line','LF',NULL,'2026-03-02','2026-03-02',1,'new',NULL,0);
INSERT INTO "herd_case" VALUES(3,4,1,'digital dermatitis','LH',NULL,'2026-03-02','2026-03-02',1,'new',NULL,0);
CREATE TABLE locomotion (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	score INTEGER NOT NULL, 
	scale VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE measure (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	what VARCHAR NOT NULL, 
	number VARCHAR(40) NOT NULL, 
	unit VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE note (
	id INTEGER NOT NULL, 
	clip_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	engine VARCHAR NOT NULL, 
	model VARCHAR NOT NULL, 
	words JSON NOT NULL, 
	alternatives JSON NOT NULL, 
	has_speech BOOLEAN NOT NULL, 
	seconds_taken FLOAT NOT NULL, 
	heard_at DATETIME NOT NULL, fits JSON DEFAULT '[]' NOT NULL, cut_out BOOLEAN DEFAULT 0 NOT NULL, again JSON, 
	PRIMARY KEY (id), 
	FOREIGN KEY(clip_id) REFERENCES clip (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (clip_id)
);
INSERT INTO "note" VALUES(1,1,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "four", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "twelve", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "left", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "hind", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "outer", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "sole", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "ulcer", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "zone", "start": 3.2, "end": 3.6, "confidence": 1.0}, {"text": "four", "start": 3.6, "end": 4.0, "confidence": 1.0}]','[]',1,3.13943736007786355912e-01,'2026-11-27 22:58:20.288513','[]',0,NULL);
INSERT INTO "note" VALUES(2,2,1,'confirmed','fake 1','none','[{"text": "right", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "hind", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "clean", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "next", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "cow", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "nine", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "right", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "front", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "clean", "start": 3.2, "end": 3.6, "confidence": 1.0}]','[]',1,3.12109149963362142443e-02,'2026-11-27 22:58:20.363115','[]',0,NULL);
INSERT INTO "note" VALUES(3,3,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "twelve", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "left", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "front", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "white", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "line", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "disease", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}]','[]',1,0.0617866620013956,'2026-11-27 22:58:20.507079','[]',0,NULL);
INSERT INTO "note" VALUES(4,4,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "eight", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "left", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "hind", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "digital", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "dermatitis", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "right", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "hind", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "clean", "start": 3.2, "end": 3.6, "confidence": 1.0}]','[]',1,6.93340139987412840127e-02,'2026-11-27 22:58:20.643408','[]',0,NULL);
CREATE TABLE reading (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	origin VARCHAR NOT NULL, 
	who VARCHAR NOT NULL, 
	lexicon VARCHAR NOT NULL, 
	carried_in VARCHAR, 
	carried_out VARCHAR, 
	content JSON NOT NULL, 
	entries JSON NOT NULL, 
	read_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(note_id) REFERENCES note (id)
);
INSERT INTO "reading" VALUES(1,1,'heard','dictate','1dfdb74e2a70',NULL,'412','{"words": ["cow", "four", "twelve", "left", "hind", "outer", "sole", "ulcer", "zone", "four"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 22:58:22.611419');
INSERT INTO "reading" VALUES(2,2,'heard','dictate','1dfdb74e2a70','412','9','{"words": ["right", "hind", "clean", "next", "cow", "nine", "right", "front", "clean"], "commands": ["next cow"], "leftover": [], "leftover_at": []}','[{"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 22:58:22.669521');
INSERT INTO "reading" VALUES(3,3,'heard','dictate','1dfdb74e2a70','9','12','{"words": ["cow", "twelve", "left", "front", "white", "line", "disease"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 22:58:22.740938');
INSERT INTO "reading" VALUES(4,4,'heard','dictate','1dfdb74e2a70','12','8','{"words": ["cow", "eight", "left", "hind", "digital", "dermatitis", "right", "hind", "clean"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 22:58:22.790183');
CREATE TABLE remark (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE seal (
	id INTEGER NOT NULL, 
	through_id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (through_id)
);
INSERT INTO "seal" VALUES(1,1,'984bedb4e9187439d5d73ebb8cd375ffd364f7b8976ccdcdb5cc80662ec6d2f2');
INSERT INTO "seal" VALUES(2,3,'c3ba794f8ed7a2e1a2eb2e05a9653d771edaf9db4bd63f7366788f6143549794');
INSERT INTO "seal" VALUES(3,4,'4e8fe55832574b9407f3cf225c1c974cbf690570d0061befac6248833bf9b534');
INSERT INTO "seal" VALUES(4,5,'1bcd70a640a8a59118875e72d5cc89c8f191da8ddc464e31ad081a2ba2f669aa');
INSERT INTO "seal" VALUES(5,6,'2d47a854ef2ce335772354dca587d72c79aee3c67500eab23c24b276adf0a499');
INSERT INTO "seal" VALUES(6,7,'018d4f381f8f1ff1605601bb34f767f536a665a04cbf53216c89a3b4d8148600');
INSERT INTO "seal" VALUES(7,8,'bb70b3c8c7fed9775391b13c87c351598f809de4482e3d2cd3baab38b132c28b');
INSERT INTO "seal" VALUES(8,9,'d8e64d49ff24bec45de8a0879a1b8543f65e274bb7c78c3187cc90d40d548067');
INSERT INTO "seal" VALUES(9,10,'29b682d676259ba0a56bb65cff170bacb42497c5974337cde5d1745b9fbeb426');
CREATE TABLE status (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE trimmer (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "trimmer" VALUES(1,'Robin Field');
CREATE TABLE visit (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	whole_herd BOOLEAN, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (farm_id, trimmer_id, date)
);
INSERT INTO "visit" VALUES(1,1,1,'2026-03-02',NULL);
CREATE INDEX event_subject ON event (subject, subject_id);
CREATE INDEX ix_event_act ON event (act);
CREATE INDEX ix_alias_trimmer_id ON alias (trimmer_id);
CREATE INDEX animal_eid ON animal (farm_id, eid);
CREATE UNIQUE INDEX animal_present_number ON animal (farm_id, number) WHERE status = 'present' AND merged_into_id IS NULL;
CREATE INDEX ix_animal_farm_id ON animal (farm_id);
CREATE INDEX ix_visit_date ON visit (date);
CREATE INDEX ix_visit_farm_id ON visit (farm_id);
CREATE INDEX ix_visit_trimmer_id ON visit (trimmer_id);
CREATE INDEX ix_clip_visit_id ON clip (visit_id);
CREATE INDEX ix_note_state ON note (state);
CREATE INDEX ix_note_visit_id ON note (visit_id);
CREATE INDEX entry_visit_state ON entry (visit_id, state);
CREATE INDEX ix_entry_animal_id ON entry (animal_id);
CREATE INDEX ix_reading_note_id ON reading (note_id);
CREATE INDEX action_animal_date ON action (animal_id, date);
CREATE INDEX action_farm_date ON action (farm_id, date);
CREATE INDEX ix_action_entry_id ON action (entry_id);
CREATE INDEX ix_action_visit_id ON action (visit_id);
CREATE INDEX finding_animal_date ON finding (animal_id, date);
CREATE INDEX finding_farm_date ON finding (farm_id, date);
CREATE INDEX ix_finding_entry_id ON finding (entry_id);
CREATE INDEX ix_finding_visit_id ON finding (visit_id);
CREATE INDEX follow_up_animal_date ON follow_up (animal_id, date);
CREATE INDEX follow_up_farm_due ON follow_up (farm_id, due_on);
CREATE INDEX ix_follow_up_done_entry_id ON follow_up (done_entry_id);
CREATE INDEX ix_follow_up_entry_id ON follow_up (entry_id);
CREATE INDEX ix_follow_up_visit_id ON follow_up (visit_id);
CREATE INDEX ix_locomotion_entry_id ON locomotion (entry_id);
CREATE INDEX ix_locomotion_visit_id ON locomotion (visit_id);
CREATE INDEX locomotion_animal_date ON locomotion (animal_id, date);
CREATE INDEX ix_measure_entry_id ON measure (entry_id);
CREATE INDEX ix_measure_visit_id ON measure (visit_id);
CREATE INDEX measure_animal_date ON measure (animal_id, date);
CREATE INDEX ix_remark_entry_id ON remark (entry_id);
CREATE INDEX ix_remark_visit_id ON remark (visit_id);
CREATE INDEX remark_animal_date ON remark (animal_id, date);
CREATE INDEX ix_status_entry_id ON status (entry_id);
CREATE INDEX ix_status_visit_id ON status (visit_id);
CREATE INDEX status_animal_date ON status (animal_id, date);
CREATE TRIGGER event_row_kept BEFORE UPDATE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER reading_row_kept BEFORE UPDATE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER note_words_kept BEFORE UPDATE OF words ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER note_alternatives_kept BEFORE UPDATE OF alternatives ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER clip_sha256_kept BEFORE UPDATE OF sha256 ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER clip_not_deleted BEFORE DELETE ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'entry is append-only'); END;
CREATE TRIGGER event_not_deleted BEFORE DELETE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER note_not_deleted BEFORE DELETE ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER reading_not_deleted BEFORE DELETE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE INDEX ix_herd_case_animal_id ON herd_case (animal_id);
CREATE INDEX herd_case_farm_closed ON herd_case (farm_id, closed_on);
CREATE INDEX herd_case_farm_first ON herd_case (farm_id, first_on);
COMMIT;
